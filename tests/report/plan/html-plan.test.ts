import { existsSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { type Browser, chromium } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { htmlPlan } from "../../../src/report/index.ts";
import {
  longestScale,
  SAMPLE_PLANS,
  sampleCharge,
  sampleCorrect,
  sampleScale,
} from "../../foundry/plan-samples.ts";
import { soundBell } from "../../support/sample-measurement.ts";
import { HOSTILE } from "../support/hostile.ts";

const CHROMIUM = ["/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"].find(
  existsSync,
);

describe("htmlPlan", () => {
  it.each(SAMPLE_PLANS)(
    "htmlPlan of %s is one document that runs no script and holds no NaN or null",
    async (_, make) => {
      const text = await htmlPlan(make(), "metric", "2026-05-01");
      expect(text).toMatch(/script-src &#39;none&#39;/);
      expect(text).not.toMatch(/<script>/);
      expect(text).not.toMatch(/NaN|>null<|undefined|Infinity|\[object/);
      expect(text).toContain("2026-05-01");
    },
  );

  it("htmlPlan shows a label that is markup as text", async () => {
    const bell = soundBell();
    bell.options.label = HOSTILE;
    const text = await htmlPlan(sampleScale({ measurement: bell }), "metric");
    expect(text).not.toContain(HOSTILE);
    expect(text).toContain("&lt;script&gt;alert(1)&lt;/script&gt;");
  });

  it("htmlPlan carries the cautions wherever metal is melted", async () => {
    for (const plan of [sampleScale(), sampleCharge(), sampleCorrect()]) {
      const text = await htmlPlan(plan, "us");
      for (const caution of [
        /No moisture near the melt/,
        /Face shield/,
        /Ventilate/,
        /unknown composition/,
        /Two people/,
        /licensed practice/,
      ]) {
        expect(text).toMatch(caution);
      }
    }
  });
});

describe.skipIf(!CHROMIUM)("htmlPlan in Chromium", () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await chromium.launch({ executablePath: CHROMIUM!, args: ["--no-sandbox"] });
  }, 60_000);
  afterAll(() => browser.close());

  it("htmlPlan of every kind prints on one page of A4 and of Letter, without a console message or a request", async () => {
    const page = await browser.newPage();
    const seen: string[] = [];
    page.on("console", (message) => seen.push(message.text()));
    page.on("pageerror", (error) => seen.push(error.message));
    page.on("request", (request) => {
      if (!/^(about|data):/.test(request.url())) seen.push(request.url());
    });
    const plans = [...SAMPLE_PLANS.map(([, make]) => make()), longestScale(), sampleCharge(8)];
    for (const plan of plans) {
      await page.setContent(await htmlPlan(plan, "us", "2026-05-01"));
      for (const format of ["A4", "Letter"]) {
        const pdf = (await page.pdf({ format })).toString("latin1");
        expect(pdf.match(/\/Type\s*\/Page\b/g), `${plan.command} on ${format}`).toHaveLength(1);
      }
    }
    expect(seen).toEqual([]);
  }, 120_000);

  it("htmlPlan of every kind has nothing that axe-core finds wrong, in light and dark, wide and narrow", async () => {
    const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core"), "utf8");
    for (const [width, colorScheme] of [
      [1100, "light"],
      [390, "dark"],
    ] as const) {
      const context = await browser.newContext({
        bypassCSP: true,
        colorScheme,
        viewport: { width, height: 900 },
      });
      const page = await context.newPage();
      for (const [name, make] of SAMPLE_PLANS) {
        await page.setContent(await htmlPlan(make(), "metric"));
        await page.evaluate(axe);
        const found = await page.evaluate(async () => {
          const { axe: run } = window as unknown as {
            axe: { run(): Promise<{ violations: { id: string }[] }> };
          };
          return (await run.run()).violations.map((violation) => violation.id);
        });
        expect(found, name).toEqual([]);
        const overflow = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
        expect(overflow, name).toBeLessThanOrEqual(0);
      }
      await context.close();
    }
  }, 120_000);
});
