import { beforeAll, describe, expect, it } from "vitest";
import { htmlSeries } from "../../../src/report/index.ts";
import type { SeriesResult } from "../../../src/series/index.ts";
import { reportAssets } from "../support/assets.ts";
import { foldOut, tooWide, tooWideOnPaper, useReports, violations } from "../support/browser.ts";
import { HOSTILE } from "../support/hostile.ts";
import { hostileSeries, sampleSeries } from "./sample-series.ts";

let assets: Awaited<ReturnType<typeof reportAssets>>;
beforeAll(async () => {
  assets = await reportAssets();
}, 60_000);

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

const reports = useReports(async () => {
  assets ??= await reportAssets();
  return {
    twelve: await write(sampleSeries()),
    three: await write(sampleSeries(3)),
    hostile: await write(hostileSeries(HOSTILE)),
  };
});

describe("htmlSeries in Chromium", () => {
  it("htmlSeries draws every history, asks for nothing, says nothing, and fits wide and narrow, light and dark", async () => {
    for (const [width, colorScheme] of [
      [1200, "light"],
      [390, "dark"],
    ] as const) {
      const { page, heard, asked, close } = await reports.open("twelve", {
        colorScheme,
        viewport: { width, height: 900 },
      });
      expect(asked).toEqual([reports.address("twelve")]);
      expect(heard).toEqual([]);
      const drawn = await page.evaluate(() =>
        Array.from(document.querySelectorAll("canvas"), (canvas) => {
          const pixels = canvas.getContext("2d")!.getImageData(0, 0, canvas.width, canvas.height).data;
          return pixels.some((value) => value !== 0);
        }),
      );
      expect(drawn).toEqual(Array(12).fill(true));
      expect(await tooWide(page)).toEqual([]);
      await close();
    }
  }, 60_000);

  it.each([
    ["three", "light", 1200],
    ["three", "dark", 390],
    ["hostile", "light", 320],
  ] as const)(
    "htmlSeries of %s, %s, %d px wide, has nothing that axe-core finds wrong, folded out",
    async (name, colorScheme, width) => {
      const { page, heard, close } = await reports.open(name, {
        colorScheme,
        viewport: { width, height: 900 },
      });
      await foldOut(page);
      expect(await violations(page)).toEqual([]);
      expect(await tooWide(page)).toEqual([]);
      expect(heard).toEqual([]);
      await close();
    },
    60_000,
  );

  it("htmlSeries has nothing wider than the paper", async () => {
    const { page, close } = await reports.open("twelve");
    expect(await tooWideOnPaper(page)).toEqual([]);
    await close();
  });

  it("htmlSeries tells flat from sharp by place: in the glance each mark lies on its side of the middle", async () => {
    const { page, close } = await reports.open("three");
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
