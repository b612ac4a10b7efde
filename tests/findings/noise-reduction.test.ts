import { describe, expect, test } from "vitest";
import type { Estimate } from "../../src/measurement/index.ts";
import { soundBell } from "../support/sample-measurement.ts";
import { estimate } from "../support/sample-parts.ts";
import { findingOf } from "./support.ts";

function noiseReduction(over: { noisePassedDb?: Estimate | null }) {
  const bell = soundBell();
  return findingOf("noise-reduction", { ...bell, fit: { ...bell.fit, ...over } });
}

describe("noise-reduction", () => {
  test("noise-reduction is good where no noise is let through, and in a file that does not say", () => {
    expect(noiseReduction({ noisePassedDb: null }).outcome).toBe("good");
    expect(noiseReduction({}).outcome).toBe("good");
  });

  test("noise-reduction asks for attention, says how much louder the noise is, and what to turn off", () => {
    const finding = noiseReduction({ noisePassedDb: estimate(17.24, 0.56) });
    expect(finding.outcome).toBe("attention");
    expect(finding.text).toContain("the noise is 17.24 ± 0.56 dB louder than in the quiet");
    expect(finding.text).toContain("Turn noise reduction, noise suppression and voice enhancement off");
  });
});
