import { describe, expect, test } from "vitest";
import type { StrikeInfo } from "../../src/measurement/index.ts";
import { soundBell } from "../support/sample-measurement.ts";
import { sampleStrike } from "../support/sample-parts.ts";
import { findingOf } from "./support.ts";

/** The strongest partial of the sound bell, its nominal, falls by 60 dB in this time. */
const T60_S = soundBell().partials[4]!.decayTimeS.value;

const length = (fallenDb: number, over: Partial<StrikeInfo> = {}) =>
  findingOf("length", soundBell({ strikes: [sampleStrike({ usedS: (T60_S * fallenDb) / 60, ...over })] }));

describe("length", () => {
  test("length follows the fall of level that ISO 3382-1 needs for T20 and T30", () => {
    // T20 ends at -25 dB, T30 at -35 dB (from memory).
    expect([24.9, 25.1, 34.9, 35.1].map((fallenDb) => length(fallenDb).outcome)).toEqual([
      ...["attention", "note", "note", "good"],
    ]);
  });

  test("length that falls short says how long to wait, in whole seconds over the upper end, and what ended the ring", () => {
    // 35/60 of the nominal's 60 dB time, 8.08 s with a half-width of 2 %.
    const finding = length(10, { endedBy: "next strike" });
    expect(finding.text).toMatch(
      /the nominal, the strongest, over less than 25 dB .*\(it ends with: next strike\)/,
    );
    expect(finding.text).toMatch(/untouched for 5 s or more/);
  });

  test("length does not ask for a longer recording where the noise ends the ring", () => {
    const finding = length(10, { endedBy: "noise floor" });
    expect(finding.outcome).toBe("note");
    expect(finding.text).toContain("A longer recording would not help; a quieter place would.");
  });

  test("length is that of the bell's strongest partial, not of a rumble below its hum", () => {
    const bell = soundBell();
    const hum = bell.partials[0]!;
    const rumble = {
      ...hum,
      ...{ name: null, nameConfidence: null, frequencyHz: { value: 48, ci95: 0.1 } },
      ...{ decayTimeS: { value: 671, ci95: 200 }, levelDb: { value: 20, ci95: 1 } },
    };
    const strikes = [sampleStrike({ usedS: T60_S })];
    const finding = findingOf("length", { ...bell, strikes, partials: [rumble, ...bell.partials] });
    expect(finding.outcome).toBe("good");
    expect(finding.text).toContain("the nominal, the strongest");
  });

  test("length judges by the longest ring", () => {
    const strikes = [sampleStrike({ usedS: 0.1 }), sampleStrike({ usedS: T60_S, fitStartS: 3, endS: 9 })];
    const finding = findingOf("length", soundBell({ strikes }));
    expect(finding.outcome).toBe("good");
    expect(finding.evidence).toMatchObject([{ kind: "time", fromS: 3, toS: 9 }]);
  });
});
