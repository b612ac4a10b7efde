import { describe, expect, test } from "vitest";
import { htmlCompare } from "../../../src/report/index.ts";
import type { Compared } from "./compared.ts";
import { nothingInCommon, singleStrikes, threeCastings, twoAlloys } from "./compared.ts";

const SCRIPTS = { chartJsSource: "", script: "" };
const page = ({ comparison, measurements }: Compared) => htmlCompare(comparison, measurements, SCRIPTS);
/** Text of the page as it is read, tags off. */
const words = (html: string) =>
  html
    .replace(/<(script|style)[\s\S]*?<\/\1>/g, "")
    .replace(/<[^>]*>/g, " ")
    .replace(/&#39;/g, "'")
    .replace(/[\s\u00a0]+/g, " ");

describe("htmlCompare(comparison, measurements, parts)", () => {
  test("htmlCompare refuses measurements that are not those of the castings", async () => {
    const { comparison } = twoAlloys();
    await expect(htmlCompare(comparison, [], SCRIPTS)).rejects.toThrow(RangeError);
  });

  test("htmlCompare of castings with nothing in common says so in every part", async () => {
    const text = words(await page(nothingInCommon()));
    expect(text).toContain("no partial of one was found in the other");
    expect(text).not.toMatch(/NaN|undefined|Infinity/);
  });

  test("htmlCompare puts the result on top, every clause a link to a finding that is there", async () => {
    const html = await page(twoAlloys());
    const [, lead] = html.match(/<p class="lead result">([\s\S]*?)<\/p>/)!;
    const links = [...lead.matchAll(/href="#([^"]+)"/g)].map(([, id]) => id);
    expect(links).toEqual(["finding-decay", "finding-pitch"]);
    for (const id of links) expect(html).toContain(`id="${id}"`);
  });

  test("htmlCompare marks invented castings in the title and at the top", async () => {
    const html = await page(twoAlloys());
    expect(html).toContain("<title>Invented: A (first heat)");
    expect(html).toContain("<strong>Invented, synthetic.</strong>");
    expect(await page(singleStrikes())).not.toContain("Invented, synthetic");
  });

  test("htmlCompare carries every number of the pairs in tables, without scripts", async () => {
    const { comparison, measurements } = twoAlloys();
    const text = words(await htmlCompare(comparison, measurements, SCRIPTS)).replaceAll("\u2212", "-");
    for (const pair of comparison.pairs) {
      expect(text).toContain(pair.name);
      expect(text).toContain(`${pair.a.q.value.toPrecision(2)}`.slice(0, 2));
    }
    expect(text).toContain("quint");
    expect(text).toMatch(/changed beyond strike spread/);
    expect(text).toMatch(/Equal blows and gain/);
    expect(words(await page(singleStrikes()))).toMatch(/changed beyond the fits/);
  });

  test("htmlCompare of three castings has an overview, and parts and ids for each", async () => {
    const html = await page(threeCastings());
    expect(html).toContain('id="overview"');
    const ids = [...html.matchAll(/ id="([^"]+)"/g)].map(([, id]) => id);
    expect(new Set(ids).size).toBe(ids.length);
    for (const id of ["spectrum", "spectrum-c", "findings-c", "chart-shift-c", "finding-c-pitch"])
      expect(ids).toContain(id);
    const targets = [...html.matchAll(/href="#([^"]+)"/g)].map(([, id]) => id);
    expect(targets).toContain("deviation-c");
    expect(targets.filter((id) => !ids.includes(id))).toEqual([]);
  });

  test("htmlCompare is the same twice, and holds the time only where it is given", async () => {
    expect(await page(twoAlloys())).toBe(await page(twoAlloys()));
    const { comparison, measurements } = twoAlloys();
    const dated = await htmlCompare(comparison, measurements, {
      ...SCRIPTS,
      generatedAt: "2026-05-01 12:00",
    });
    expect(dated).toContain("2026-05-01 12:00");
  });
});
