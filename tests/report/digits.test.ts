import { beforeAll, describe, expect, test } from "vitest";
import { htmlCompare, htmlPlan, htmlReport, htmlSeries, terminalSummary } from "../../src/report/index.ts";
import { SAMPLE_PLANS } from "../foundry/plan-samples.ts";
import { crackedBell, noisyRecording, soundBell } from "../support/sample-measurement.ts";
import { twoAlloys } from "./compare/compared.ts";
import { sampleSeries } from "./series/sample-series.ts";
import { reportAssets } from "./support/assets.ts";

/** What a reader sees: texts and descriptions, without scripts, styles, drawings' coordinates and what the data block holds. */
const shown = (document: string): string =>
  document
    .replace(/<(script|style|svg)\b[\s\S]*?<\/\1>/g, " ")
    .replace(/<wbr>/g, "")
    .replace(/<sup>|<sub>/g, "_")
    .replace(/ aria-label="([^"]*)"/g, "> $1 <")
    .replace(/<[^>]*>/g, " ")
    .replace(/&[a-z]+;|&#39;/g, " ")
    .replace(/\u00a0/g, " ")
    .replace(/\u2212/g, "-");

const NUMBER = String.raw`-?\d+(?:\.\d+)?`;
const WITH_INTERVAL = new RegExp(`(${NUMBER}) ± (${NUMBER})`, "g");

const decimalsOf = (text: string): number => text.split(".")[1]?.length ?? 0;
const significantOf = (text: string): number => text.replace(/[-.]/g, "").replace(/^0+/, "").length;

/** What is wrong with a value and its interval as written, or null. */
function fault(value: string, ci95: string): string | null {
  if (decimalsOf(value) !== decimalsOf(ci95)) return "value and interval end at different digits";
  if (!(Number(ci95) > 0)) return "an interval of nothing";
  if (decimalsOf(ci95) > 0) {
    const digits = significantOf(ci95);
    // One digit only where the value has all ten that it can have.
    if (digits !== 2 && !(digits === 1 && significantOf(value) >= 10))
      return `${digits} digits of an interval`;
    return null;
  }
  return significantOf(ci95.replace(/0+$/, "")) <= 2 ? null : "more than two digits of an interval";
}

let texts: Record<string, string>;
beforeAll(async () => {
  const assets = await reportAssets();
  const { comparison, measurements } = twoAlloys();
  const report = async (m: Parameters<typeof htmlReport>[0]) =>
    shown(await htmlReport(m, { ...assets, audio: null }));
  texts = {
    "sound bell": await report(soundBell()),
    "cracked bell": await report(crackedBell()),
    "noisy recording": await report(noisyRecording()),
    "sound bell, terminal": terminalSummary(soundBell(), { width: 100, colour: false })
      .replace(/\s+/g, " ")
      .replace(/ ± ?/g, " ± "),
    comparison: shown(await htmlCompare(comparison, measurements, assets)),
    series: shown(await htmlSeries(sampleSeries(3), { ...assets, tapLink: () => null })),
  };
  for (const [name, make] of SAMPLE_PLANS) texts[`plan: ${name}`] = shown(await htmlPlan(make(), "metric"));
}, 60_000);

describe("fault", () => {
  test.each([
    ["1.50", "0.25", null],
    ["1500", "120", null],
    ["0.5000000001", "0.0000000001", null],
    ["1.5", "0.25", "value and interval end at different digits"],
    ["1.500", "0.253", "3 digits of an interval"],
    ["1", "0", "an interval of nothing"],
    ["1500", "123", "more than two digits of an interval"],
  ])("fault(%j, %j) is %j", (value, ci95, wrong) => {
    expect(fault(value, ci95)).toBe(wrong);
  });
});

describe("every number of a report", () => {
  // JCGM 100:2008 (GUM), 7.2.6: two digits of the interval, and the value to the same place.
  test.each([
    ["sound bell", 120],
    ["cracked bell", 40],
    ["noisy recording", 5],
    ["sound bell, terminal", 25],
    ["comparison", 120],
    ["series", 90],
  ])("of the %s ends where its interval does, and the interval has two digits", (name, least) => {
    const found = [...texts[name]!.matchAll(WITH_INTERVAL)];
    expect(found.length).toBeGreaterThan(least);
    const faults = found.flatMap(([all, value, ci95]) => {
      const wrong = fault(value!, ci95!);
      return wrong === null ? [] : [`${all}: ${wrong}`];
    });
    expect(faults).toEqual([]);
  });

  test("of every plan ends where its interval does, and the interval has two digits", () => {
    for (const name of Object.keys(texts).filter((each) => each.startsWith("plan: "))) {
      for (const [all, value, ci95] of texts[name]!.matchAll(WITH_INTERVAL))
        expect(fault(value!, ci95!), `${name}: ${all}`).toBeNull();
    }
  });

  test("without an interval has no more digits than a setting or a rounded figure can have", () => {
    for (const [name, text] of Object.entries(texts)) {
      const bare = text.replace(WITH_INTERVAL, " ").replace(/\d+\.\d+\.\d+|\d{4}-\d\d-\d\d/g, " ");
      for (const [number] of bare.matchAll(new RegExp(`(?<![\\w.])${NUMBER}(?![\\w.])`, "g"))) {
        expect(significantOf(number!), `${name}: ${number} in ${context(bare, number!)}`).toBeLessThanOrEqual(
          6,
        );
      }
    }
  });

  test("of the main table is the measurement's own, rounded and never surer", () => {
    const bell = soundBell();
    const cells = [...texts["sound bell"]!.matchAll(WITH_INTERVAL)].map(([, value, ci95]) => [
      Number(value),
      Number(ci95),
    ]);
    for (const { frequencyHz, decayTimeS, levelDb } of bell.partials) {
      for (const { value, ci95 } of [frequencyHz, decayTimeS, levelDb]) {
        // Rounding to two digits takes at most half of the last from the interval: 5 % where it begins with 1.
        const same = cells.some(([v, c]) => Math.abs(v! - value) <= c! / 2 && c! >= 0.95 * ci95);
        expect(same, `${value} ± ${ci95}`).toBe(true);
      }
    }
  });
});

const context = (text: string, part: string): string => {
  const at = text.indexOf(part);
  return text.slice(Math.max(0, at - 60), at + 40).replace(/\s+/g, " ");
};
