import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { htmlSeries } from "../../../src/report/index.ts";
import type { SeriesResult } from "../../../src/series/index.ts";
import { reportAssets } from "../support/assets.ts";
import { makeFolder, openBrowser, openPage } from "../support/browser.ts";
import { HOSTILE } from "../support/hostile.ts";
import { hostileSeries, sampleSeries } from "./sample-series.ts";

let assets: Awaited<ReturnType<typeof reportAssets>>;
let browser: Browser;
const folder = makeFolder();

beforeAll(async () => {
  [assets, browser] = await Promise.all([reportAssets(), openBrowser()]);
}, 60_000);
afterAll(async () => {
  await browser.close();
  folder.remove();
});

const write = (result: SeriesResult) =>
  htmlSeries(result, {
    ...assets,
    tapLink: (bell, pass) => `taps/${bell}-${pass}.html`,
    generatedAt: "2026-05-01",
  });

describe("htmlSeries", () => {
  it("htmlSeries shows text that is markup as text", async () => {
    const text = await write(hostileSeries(HOSTILE));
    expect(text).not.toContain(HOSTILE);
    expect(text).toContain("&lt;script&gt;alert(1)&lt;/script&gt;");
  });

  it("htmlSeries carries the cautions, a sheet for each bell, and links to the tap report of every measured pass", async () => {
    const text = await write(sampleSeries());
    expect(text).toMatch(/licensed practice/);
    expect(text).toMatch(/lathe takes hold/);
    for (let bell = 1; bell <= 12; bell++) expect(text).toContain(`<section id="bell-${bell}"`);
    // Twelve bells of four passes, one of which failed.
    expect(text.match(/href="taps\//g)).toHaveLength(47);
    expect(text).not.toContain("taps/1-3.html");
  });

  it("htmlSeries of a set of which nothing was measured says so", async () => {
    const result = sampleSeries(2);
    for (const bell of result.bells)
      Object.assign(bell, {
        passes: [],
        sensitivity: [],
        nextCut: null,
        nextCutReason: "nothing",
        meanCents: null,
      });
    Object.assign(result, { intervals: [], decaySpread: [], commonShiftCents: null });
    expect(await write(result)).toContain("There is nothing to picture");
  });
});

describe("htmlSeries in Chromium", () => {
  it("htmlSeries draws every history, asks for nothing, says nothing, and fits wide and narrow, light and dark", async () => {
    const address = folder.write("set.html", await write(sampleSeries()));
    for (const [width, colorScheme] of [
      [1200, "light"],
      [390, "dark"],
    ] as const) {
      const { page, heard, asked, close } = await openPage(browser, address, {
        colorScheme,
        viewport: { width, height: 900 },
      });
      expect(asked).toEqual([address]);
      expect(heard).toEqual([]);
      const drawn = await page.evaluate(() =>
        Array.from(document.querySelectorAll("canvas"), (canvas) => {
          const pixels = canvas.getContext("2d")!.getImageData(0, 0, canvas.width, canvas.height).data;
          return pixels.some((value) => value !== 0);
        }),
      );
      expect(drawn).toEqual(Array(12).fill(true));
      expect(
        await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth),
      ).toBeLessThanOrEqual(0);
      await close();
    }
  }, 60_000);

  it("htmlSeries has nothing that axe-core finds wrong", async () => {
    const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core"), "utf8");
    const address = folder.write("axe.html", await write(sampleSeries(3)));
    for (const colorScheme of ["light", "dark"] as const) {
      const { page, close } = await openPage(browser, address, { colorScheme, bypassCSP: true });
      await page.evaluate(axe);
      const found = await page.evaluate(async () => {
        const { axe: run } = window as unknown as {
          axe: { run(): Promise<{ violations: { id: string }[] }> };
        };
        return (await run.run()).violations.map(({ id }) => id);
      });
      expect(found).toEqual([]);
      await close();
    }
  }, 60_000);

  it("htmlSeries tells flat from sharp by place: in the glance each mark lies on its side of the middle", async () => {
    const result = sampleSeries(3);
    const address = folder.write("glance.html", await write(result));
    const { page, close } = await openPage(browser, address);
    const marks = await page.evaluate(() =>
      Array.from(document.querySelectorAll(".series-glance td:has(.strip)"), (cell) => {
        const strip = cell.querySelector(".strip")!.getBoundingClientRect();
        const mark = cell.querySelector(".point-partial")!.getBoundingClientRect();
        return {
          right: (mark.left + mark.right) / 2 - (strip.left + strip.right) / 2,
          text: cell.querySelector(".strip-text")!.textContent!,
        };
      }),
    );
    expect(marks).toHaveLength(3 * 6);
    for (const { right, text } of marks) {
      if (Math.abs(right) > 1) expect(text.startsWith("+")).toBe(right > 0);
    }
    await close();
  }, 60_000);
});
