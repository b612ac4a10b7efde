import type { Page } from "playwright-core";
import { describe, expect, test } from "vitest";
import { htmlCompare, htmlPlan, htmlReport, htmlSeries } from "../../src/report/index.ts";
import { sampleScale } from "../foundry/plan-samples.ts";
import { soundBell } from "../support/sample-measurement.ts";
import { twoAlloys } from "./compare/compared.ts";
import { sampleSeries } from "./series/sample-series.ts";
import { reportAssets } from "./support/assets.ts";
import { useReports } from "./support/browser.ts";

const reports = useReports(async () => {
  const assets = await reportAssets();
  const { comparison, measurements } = twoAlloys();
  return {
    tap: await htmlReport(soundBell(), { ...assets, audio: null }),
    compare: await htmlCompare(comparison, measurements, assets),
    series: await htmlSeries(sampleSeries(2), {
      ...assets,
      tapLink: (bell, pass) => `taps/${bell}-${pass}.html`,
    }),
    plan: await htmlPlan(sampleScale(), "metric"),
  };
});

interface Stop {
  /** Place in the document. */
  at: number;
  what: string;
  outlinePx: number;
  /** Whether some of it can be seen: neither scrolled away nor under what stands fixed at the lower edge. */
  inView: boolean;
}

const HERE = `(() => {
  const each = document.activeElement;
  if (each === document.body || each === null) return null;
  const { top, bottom, left, right } = each.getBoundingClientRect();
  const style = getComputedStyle(each);
  const player = document.getElementById("player");
  const floor = player && !player.hidden && !player.contains(each) ? player.getBoundingClientRect().top : innerHeight;
  return {
    at: [...document.querySelectorAll("*")].indexOf(each),
    what: each.localName + " " + (each.textContent || each.id).trim().slice(0, 40),
    outlinePx: style.outlineStyle === "none" ? 0 : parseFloat(style.outlineWidth),
    inView: bottom > 0 && top < floor && right > 0 && left < innerWidth && right > left,
  };
})()`;

/** Presses Tab from the top until the page is left. */
async function walk(page: Page): Promise<Stop[]> {
  const stops: Stop[] = [];
  for (let i = 0; i < 300; i++) {
    await page.keyboard.press("Tab");
    const stop = (await page.evaluate(HERE)) as Stop | null;
    if (stop === null || (stops.length > 0 && stop.at === stops[0]!.at)) return stops;
    stops.push(stop);
  }
  throw new Error("the focus never leaves the page");
}

/** What can be operated, in the order of the document; folded parts are left out. */
const OPERABLE = `[...document.querySelectorAll("a[href], button, input, summary, .scroll[tabindex], audio[controls]")]
  .filter((each) => each.checkVisibility()).map((each) => [...document.querySelectorAll("*")].indexOf(each))`;

/** Pointer targets smaller than 24 px that are no links within a line of text (WCAG 2.2, 2.5.8). */
const SMALL = `[...document.querySelectorAll("a[href], button, input, summary")].filter((each) => each.checkVisibility())
  .filter((each) => !each.matches("p a, li a, td a, th a, .skip"))
  .filter((each) => { const { width, height } = each.getBoundingClientRect(); return Math.min(width, height) < 24; })
  .map((each) => each.outerHTML.slice(0, 100))`;

describe("every report by keyboard", () => {
  test.each(["tap", "compare", "series", "plan"])(
    "%s: the focus goes once through all that can be operated, in the order of reading, and is always seen",
    async (kind) => {
      const { page, heard, close } = await reports.open(kind, { viewport: { width: 1000, height: 700 } });
      const stops = await walk(page);
      expect(stops[0]!.what).toContain("Skip to the");
      expect(stops.map(({ at }) => at)).toEqual(await page.evaluate(OPERABLE));
      for (const { what, outlinePx, inView } of stops) {
        expect(outlinePx, what).toBeGreaterThanOrEqual(2);
        expect(inView, what).toBe(true);
      }
      expect(heard).toEqual([]);
      await close();
    },
    60_000,
  );

  test.each(["tap", "compare", "series", "plan"])(
    "%s: the first link leads past the head, and targets are large enough",
    async (kind) => {
      for (const width of [1000, 320]) {
        const { page, close } = await reports.open(kind, { viewport: { width, height: 700 } });
        expect(await page.evaluate(SMALL)).toEqual([]);
        await page.keyboard.press("Tab");
        await page.keyboard.press("Enter");
        // On a busy machine the address changes some time after the key.
        await page.waitForURL(/#main$/);
        await page.keyboard.press("Tab");
        expect(await page.evaluate(`document.getElementById("main").contains(document.activeElement)`)).toBe(
          true,
        );
        await close();
      }
    },
  );

  test("tap: while something plays, its bar hides no focus, and Escape ends it", async () => {
    const { page, close } = await reports.open("tap", { viewport: { width: 1000, height: 400 } });
    await page.getByRole("button", { name: "Hear the bell rebuilt" }).press("Enter");
    expect(await page.locator("#player").isVisible()).toBe(true);
    for (let i = 0; i < 25; i++) {
      await page.keyboard.press("Tab");
      const stop = (await page.evaluate(HERE)) as Stop | null;
      // After the last stop the browser itself has the focus.
      if (stop !== null) expect(stop.inView, stop.what).toBe(true);
    }
    await page.keyboard.press("Escape");
    expect(await page.locator("#player").isVisible()).toBe(false);
    await close();
  });

  test.each(["tap", "compare", "series", "plan"])(
    "%s: nothing moves by itself, whether or not less motion is asked for",
    async (kind) => {
      for (const reducedMotion of ["reduce", "no-preference"] as const) {
        const { page, close } = await reports.open(kind, { reducedMotion });
        const moving = await page.evaluate(`[...document.querySelectorAll("*")].filter((each) => {
        const { animationName, transitionDuration, scrollBehavior } = getComputedStyle(each);
        return animationName !== "none" || !/^0s(, 0s)*$/.test(transitionDuration) || scrollBehavior !== "auto";
      }).length`);
        expect(moving).toBe(0);
        expect(await page.evaluate("document.getAnimations().length")).toBe(0);
        const animated = await page.evaluate(`typeof Chart === "undefined" ? [] :
        [...document.querySelectorAll("canvas")].map((canvas) => Chart.getChart(canvas).options.animation).filter(Boolean)`);
        expect(animated).toEqual([]);
        await close();
      }
    },
  );

  test.each(["tap", "compare", "series"])(
    "%s: every chart has its description, and a table with its numbers can be reached",
    async (kind) => {
      const { page, close } = await reports.open(kind);
      const charts = await page.evaluate(`[...document.querySelectorAll("canvas")].map((canvas) => ({
      role: canvas.getAttribute("role"), label: canvas.getAttribute("aria-label"),
      text: canvas.closest("figure").querySelector(".without-script").textContent, caption: canvas.closest("figure").querySelector("figcaption").textContent,
    }))`);
      const described = charts as { role: string; label: string; text: string; caption: string }[];
      expect(described.length).toBeGreaterThan(1);
      for (const { role, label, text, caption } of described) {
        expect(role).toBe("img");
        expect(label.length).toBeGreaterThan(30);
        expect(text).toBe(label);
        expect(caption).not.toBe("");
      }
      await close();
    },
  );
});
