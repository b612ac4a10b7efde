import { describe, expect, test } from "vitest";
import { noisyRecording, soundBell } from "../support/sample-measurement.ts";
import { findingOf } from "./support.ts";

describe("free-decay", () => {
  test("free-decay of a sum of free decays is good", () => {
    expect(findingOf("free-decay", soundBell()).outcome).toBe("good");
  });

  test("free-decay repeats what the fit noted and says what to change", () => {
    const finding = findingOf("free-decay", noisyRecording());
    expect(finding.outcome).toBe("attention");
    expect(finding.text).toMatch(
      /^The level stands still for 0\.2 s .*visible peaks with wide intervals.*record again\.$/,
    );
    expect(finding.text).toContain("turn off its automatic level, limiter and noise reduction");
  });

  test("free-decay without a note still says what it means", () => {
    const { fit } = noisyRecording();
    const finding = findingOf("free-decay", noisyRecording({ fit: { ...fit, note: null } }));
    expect(finding.text).toMatch(/^The ring-down is not a sum of free decays\. /);
  });
});
