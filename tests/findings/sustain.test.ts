import { describe, expect, test } from "vitest";
import { emptyMeasurement, soundBell } from "../support/sample-measurement.ts";
import { estimate } from "../support/sample-parts.ts";
import { columnOf, findingOf } from "./support.ts";

const { sustain } = soundBell();

describe("sustain", () => {
  test("sustain with nothing measured is not measurable, and says what to do", () => {
    const finding = findingOf("sustain", emptyMeasurement());
    expect(finding.outcome).toBe("not-measurable");
    expect(finding.text).toContain("Record in a quieter place");
  });

  test("sustain gives what was measured, each with its interval", () => {
    const finding = findingOf("sustain", soundBell());
    expect(finding.text).toMatch(
      /heard for 9\.40 \u00b1 0\.50 s .* 60 dB in 8\.10 \u00b1 0\.30 s .* take 4\.60 \u00b1 0\.20 s at/,
    );
    expect(columnOf(finding, "seconds")).toEqual([
      ...["8.10 \u00b1 0.30", "4.60 \u00b1 0.20", "7.80 \u00b1 0.30", "8.30 \u00b1 0.30", "9.40 \u00b1 0.50"],
    ]);
  });

  test("sustain leaves out what was not measured", () => {
    const finding = findingOf("sustain", soundBell({ sustain: { ...sustain, t60S: null, audibleS: null } }));
    expect(finding.text).toMatch(
      /^The whole sound would take 4\.60 \u00b1 0\.20 s at the rate of its first 10 dB\.$/,
    );
    expect(columnOf(finding, "seconds")[0]).toBeNull();
  });

  test("sustain calls the early decay faster only where the intervals say so", () => {
    const early = (value: number, ci95: number) =>
      findingOf("sustain", soundBell({ sustain: { ...sustain, edtS: estimate(value, ci95) } })).text;
    expect(early(4.6, 0.2)).toContain("The early decay is the faster one");
    expect(early(7.7, 0.2)).not.toContain("faster");
    expect(early(12, 0.2)).not.toContain("faster");
  });
});
