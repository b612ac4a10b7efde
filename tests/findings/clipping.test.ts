import { describe, expect, test } from "vitest";
import { noisyRecording, soundBell } from "../support/sample-measurement.ts";
import { sampleRecording, sampleStrike } from "../support/sample-parts.ts";
import { columnOf, findingOf } from "./support.ts";

describe("clipping", () => {
  test("clipping of a recording below full scale is good", () => {
    expect(findingOf("clipping", soundBell()).outcome).toBe("good");
  });

  test("clipping counts samples and says to turn down, never to strike harder", () => {
    const finding = findingOf("clipping", noisyRecording());
    expect(finding.outcome).toBe("attention");
    expect(finding.text).toMatch(/^The recording sticks to full scale\. The strike is clipped\./);
    expect(finding.text).toContain("Turn the input level down");
    expect(finding.text).not.toMatch(/harder|closer/);
    expect(columnOf(finding, "samples")).toEqual([212]);
  });

  test("clipping of one recording of two, between its strikes", () => {
    const recordings = [
      sampleRecording(),
      sampleRecording({ file: "b.wav", clipped: true, clippedSamples: 3 }),
    ];
    const finding = findingOf("clipping", soundBell({ recordings, strikes: [sampleStrike()] }));
    expect(finding.text).toMatch(/^1 of 2 recordings sticks to full scale\. Clipping adds/);
    expect(columnOf(finding, "samples")).toEqual([0, 3]);
  });
});
