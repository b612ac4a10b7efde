import { describe, expect, test } from "vitest";
import type { Estimate } from "../../src/measurement/index.ts";
import { noisyRecording, soundBell } from "../support/sample-measurement.ts";
import { estimate } from "../support/sample-parts.ts";
import { findingOf } from "./support.ts";

function glide(glidePercent: Estimate | null) {
  const bell = soundBell();
  return findingOf("glide", { ...bell, fit: { ...bell.fit, glidePercent } });
}

describe("glide", () => {
  test("glide without a significant change is good", () => expect(glide(null).outcome).toBe("good"));

  test("glide is not measurable where the ring-down is no free decay and no glide was seen", () => {
    const { fit } = noisyRecording();
    expect(findingOf("glide", noisyRecording({ fit: { ...fit, glidePercent: null } })).outcome).toBe(
      "not-measurable",
    );
  });

  test("glide below what a listener notices is a note, in cents", () => {
    // 1200 log2(1.001) = 1.7300 cents; 0.02 % is 0.0346 cents per 0.002, so 0.3459 for 0.02.
    const finding = glide(estimate(0.1, 0.02));
    expect(finding.outcome).toBe("note");
    expect(finding.text).toContain("the pitch rises by 1.73 \u00b1 0.35 cents");
  });

  test("glide above it asks for attention; a wide interval does not", () => {
    expect(glide(estimate(-1, 0.1)).outcome).toBe("attention");
    expect(glide(estimate(-1, 0.1)).text).toContain("the pitch falls by 17.4 \u00b1 1.7 cents");
    expect(glide(estimate(-1, 0.9)).outcome).toBe("note");
  });

  test("glide carries its percentage as evidence", () => {
    expect(glide(estimate(-1, 0.1)).evidence).toEqual([
      { kind: "number", label: expect.any(String), value: -1, ci95: 0.1, unit: "%" },
    ]);
  });
});
