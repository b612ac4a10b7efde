import { describe, expect, test } from "vitest";
import { noisyRecording, SOUND_SPECS } from "../support/sample-measurement.ts";
import { type PartialSpec, sampleMeasurement } from "../support/sample-parts.ts";
import { columnOf, findingOf } from "./support.ts";

const tuning = (change: (s: PartialSpec) => PartialSpec) =>
  findingOf("tuning", sampleMeasurement(SOUND_SPECS.map(change)));

/** At the ideal ratios to a prime of 500 Hz, moved by so many cents. */
const ideal = (cents: (name: string) => number) => (s: PartialSpec) =>
  s.name && s.idealRatio ? { ...s, frequencyHz: 500 * s.idealRatio * 2 ** (cents(s.name) / 1200) } : s;

describe("tuning", () => {
  test("tuning of unnamed partials is not measurable and points to --pin", () => {
    const finding = findingOf("tuning", noisyRecording());
    expect(finding.outcome).toBe("not-measurable");
    expect(finding.text).toContain("--pin");
  });

  test("tuning gives no verdict on names below 80 % confidence", () => {
    expect(tuning((s) => ({ ...s, nameConfidence: 0.79 })).outcome).toBe("not-measurable");
  });

  test("tuning is good within 10 cents, and names the furthest", () => {
    const finding = tuning(ideal((name) => (name === "tierce" ? -9 : 0)));
    expect(finding.outcome).toBe("good");
    expect(finding.text).toMatch(
      /lies within 10 cents .* the furthest is the tierce, 9\.0\d* \u00b1 0\.\d+ cents flat\./,
    );
  });

  test("tuning beyond 10 cents is a note, with the furthest and its direction", () => {
    const finding = tuning(ideal((name) => (name === "nominal" ? 35 : 0)));
    expect(finding.outcome).toBe("note");
    expect(finding.text).toMatch(/is the nominal, 35\.0\d* \u00b1 0\.\d+ cents sharp\./);
  });

  test("tuning does not call the upper rim partials out of tune, and lists them", () => {
    // The octave nominal of a measured fine bell lies 70 cents over 4 (Fletcher & Rossing, ch. 21, from memory).
    const finding = tuning(ideal((name) => (name === "octave nominal" ? 70 : 0)));
    expect(finding.outcome).toBe("good");
    expect(finding.text).toContain("follow the rim together");
    expect(columnOf(finding, "partial")).toContain("octave nominal");
  });
});
