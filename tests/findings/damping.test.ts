import { describe, expect, test } from "vitest";
import { noisyRecording, SOUND_SPECS, soundBell } from "../support/sample-measurement.ts";
import { sampleMeasurement } from "../support/sample-parts.ts";
import { columnOf, findingOf } from "./support.ts";

describe("damping", () => {
  test("damping of one known decay is not measurable", () => {
    const finding = findingOf("damping", noisyRecording());
    expect(finding.outcome).toBe("not-measurable");
    expect(finding.text).toContain("The decay of 1 partial is known well enough");
  });

  test("damping gives the median loss factor and says nothing about the alloy", () => {
    const finding = findingOf("damping", soundBell());
    expect(finding.outcome).toBe("note");
    // Middle of the eight loss factors of the sample: (2.6e-4 + 2.9e-4) / 2.
    expect(finding.text).toMatch(
      /median loss factor of 8 partials is \(2\.75 \u00b1 0\.\d\d\) \u00d7 10\u207b\u2074/,
    );
    expect(finding.text).toContain("one recording says nothing about the alloy");
  });

  test("damping lists every partial, the uncertain too", () => {
    const specs = SOUND_SPECS.map((s, i) => (i === 0 ? { ...s, relativeCi95: 2 } : s));
    const finding = findingOf("damping", sampleMeasurement(specs));
    expect(columnOf(finding, "loss factor")).toHaveLength(8);
    expect(finding.text).toContain("of 7 partials");
  });
});
