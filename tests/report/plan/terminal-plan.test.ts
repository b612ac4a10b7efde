import { describe, expect, it } from "vitest";
import { terminalPlan } from "../../../src/report/index.ts";
import { cellWidth } from "../../../src/report/terminal/cells.ts";
import {
  longestScale,
  SAMPLE_PLANS,
  sampleCharge,
  sampleCorrect,
  sampleDensity,
  sampleReview,
  sampleScale,
} from "../../foundry/plan-samples.ts";
import { soundBell } from "../../support/sample-measurement.ts";
import { HOSTILE } from "../support/hostile.ts";

const look = { width: 80, colour: false, units: "metric" as const };

describe("terminalPlan", () => {
  it.each(SAMPLE_PLANS)("terminalPlan of %s fits 40 to 100 columns, in both systems of units", (_, make) => {
    for (const units of ["metric", "us"] as const) {
      for (const width of [null, 40, 60, 80, 100]) {
        for (const line of terminalPlan(make(), { ...look, width, units }).split("\n")) {
          expect(cellWidth(line), line).toBeLessThanOrEqual(width ?? 80);
        }
      }
    }
  });

  it.each(SAMPLE_PLANS)(
    "terminalPlan of %s says the same without colour, and no NaN, null or undefined",
    (_, make) => {
      const plain = terminalPlan(make(), look);
      const coloured = terminalPlan(make(), { ...look, colour: true });
      // biome-ignore lint/suspicious/noControlCharactersInRegex: the escape that colours
      expect(coloured.replaceAll(/\u001b\[[\d;]*m/g, "")).toBe(plain);
      expect(plain).not.toMatch(/NaN|null|undefined|Infinity|\[object/);
    },
  );

  it("terminalPlan lets no control character of a label or a return's name through", () => {
    const bell = soundBell();
    bell.options.label = `${HOSTILE}\u001b[31m\u202e`;
    const charge = sampleCharge();
    charge.charge!.items[0]!.name = "gates\u001b[2J";
    for (const plan of [sampleScale({ measurement: bell }), charge]) {
      const text = terminalPlan(plan, look).replaceAll("\n", "");
      expect(text).not.toMatch(/\p{Cc}|[\u202a-\u202e]/u);
    }
  });

  it("terminalPlan of a charge is a table to weigh by, with the cautions for molten metal", () => {
    const text = terminalPlan(sampleCharge(0), look);
    expect(text).toMatch(/metal +weigh out/);
    expect(text).toMatch(/copper +12\.168 kg/);
    expect(text).toMatch(/tin +3\.467 kg/);
    expect(text).toMatch(/Local codes and licensed practice come before/);
    expect(text).toMatch(/No moisture near the melt/);
    expect(text.replaceAll(/\s+/g, " ")).toMatch(/all else is common practice, no source/);
  });

  it("terminalPlan of a correction says what to add, and that it does not fit", () => {
    const text = terminalPlan(sampleCorrect(), look);
    expect(text).toMatch(/^Add 1\.250 kg of tin to 10\.000 kg of Cu90Sn10; that makes 11\.250 kg\./);
    expect(text).toMatch(/! It does not fit/);
    expect(terminalPlan(sampleCorrect("Cu80Sn20"), look)).toMatch(/^Nothing is missing/);
  });

  it("terminalPlan of a density states what pores do to the tin", () => {
    expect(terminalPlan(sampleDensity(), look)).toMatch(
      /18 ± 12 % tin; each per\s+cent of pores would read as 4\.5 points of tin too much/,
    );
    expect(terminalPlan(sampleDensity(0.805), look)).toMatch(
      /tells no tin content\. It is denser than copper/,
    );
  });

  it("terminalPlan of a scale gives the factor, the pattern and what to expect, with intervals", () => {
    const text = terminalPlan(sampleScale(), look);
    expect(text).toMatch(/Make every length 0\.99990 ± 0\.00011 times that of Invented sound bell/);
    expect(text).toMatch(/Expect it within 17 cents of that before tuning/);
    expect(text).toMatch(/diameter +300\.00 ± 0\.50 mm/);
    expect(text).toMatch(/nominal +1047 ± 11 Hz/);
    expect(terminalPlan(longestScale(), look).replaceAll(/\s+/g, " ")).toMatch(
      /fitted to 3 measured bells.*no alloy|fitted to 3 measured bells/,
    );
  });

  it("terminalPlan of a review sets measured against planned and says what it implies", () => {
    expect(terminalPlan(sampleReview(), look)).toMatch(/as planned: 0 ± 17 cents from the plan/);
    expect(terminalPlan(sampleReview(25), look).replaceAll(/\s+/g, " ")).toMatch(
      /two things changed and made up for each other/,
    );
  });
});
