import { describe, expect, it } from "vitest";
import { htmlPlan } from "../../../src/report/index.ts";
import {
  longestScale,
  SAMPLE_PLANS,
  sampleCharge,
  sampleCorrect,
  sampleScale,
} from "../../foundry/plan-samples.ts";
import { soundBell } from "../../support/sample-measurement.ts";
import { tooWide, useReports, violations } from "../support/browser.ts";
import { HOSTILE } from "../support/hostile.ts";

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

describe("htmlPlan in Chromium", () => {
  const plans = {
    ...Object.fromEntries(SAMPLE_PLANS.map(([name, make]) => [name, make()])),
    "the longest scale": longestScale(),
    "a charge of eight returns": sampleCharge(8),
  };
  const reports = useReports(async () => {
    const texts = Object.entries(plans).map(
      async ([name, plan]) => [name, await htmlPlan(plan, "us", "2026-05-01")] as const,
    );
    return Object.fromEntries(await Promise.all(texts));
  });

  it.each(Object.keys(plans))(
    "htmlPlan of %s prints on one page of A4 and of Letter, without a console message or a request",
    async (name) => {
      const { page, heard, asked, close } = await reports.open(name);
      for (const format of ["A4", "Letter"]) {
        const pdf = (await page.pdf({ format })).toString("latin1");
        expect(pdf.match(/\/Type\s*\/Page\b/g), format).toHaveLength(1);
      }
      expect(heard).toEqual([]);
      expect(asked).toEqual([reports.address(name)]);
      await close();
    },
  );

  it.each(Object.keys(plans))(
    "htmlPlan of %s has nothing that axe-core finds wrong, in light and dark, wide and narrow",
    async (name) => {
      for (const [width, colorScheme] of [
        [1100, "light"],
        [390, "dark"],
        [320, "light"],
      ] as const) {
        const { page, close } = await reports.open(name, { colorScheme, viewport: { width, height: 900 } });
        expect(await violations(page)).toEqual([]);
        expect(await tooWide(page)).toEqual([]);
        await close();
      }
    },
  );
});
