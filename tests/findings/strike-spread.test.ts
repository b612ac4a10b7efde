import { describe, expect, test } from "vitest";
import type { TapPartial } from "../../src/measurement/index.ts";
import { noisyRecording, soundBell } from "../support/sample-measurement.ts";
import { columnOf, findingOf } from "./support.ts";

function spread(change: (p: TapPartial) => Partial<TapPartial>) {
  const bell = soundBell();
  return findingOf("strike-spread", {
    ...bell,
    partials: bell.partials.map((p) => ({ ...p, ...change(p) })),
  });
}

describe("strike-spread", () => {
  test("strike-spread of one strike is not measurable", () => {
    expect(findingOf("strike-spread", noisyRecording()).outcome).toBe("not-measurable");
    expect(spread(() => ({ strikeSpreadHz: null, strikeSpreadS: null })).outcome).toBe("not-measurable");
  });

  test("strike-spread of two strikes that agree is good, its own interval wider than itself", () => {
    // 1.96 / sqrt(2 (2 - 1)) = 1.386 of the standard deviation.
    const finding = spread((p) => ({ strikeSpreadHz: p.frequencyHz.value * (2 ** (1 / 1200) - 1) }));
    expect(finding.outcome).toBe("good");
    expect(finding.text).toMatch(/^Over 2 strikes the frequencies scatter by 1\.0 \u00b1 1\.4 cents at most/);
  });

  test("strike-spread over what a listener notices asks for attention", () => {
    const finding = spread((p) => ({ strikeSpreadHz: p.name === "tierce" ? 4 : 0.01 }));
    expect(finding.outcome).toBe("attention");
    expect(finding.text).toMatch(/in the tierce\..*hang it freely/);
  });

  test("strike-spread of decay times alone is a note", () => {
    const finding = spread((p) => ({ strikeSpreadS: p.name === "tierce" ? 0.3 * p.decayTimeS.value : 0 }));
    expect(finding.outcome).toBe("note");
    expect(finding.text).toContain("The decay time of 1 partial scatters by more than 20 %.");
  });

  test("strike-spread lists a partial with no spread of its decay", () => {
    const finding = spread(() => ({ strikeSpreadS: null }));
    expect(columnOf(finding, "scatter of decay time, %")).toEqual(Array(8).fill(null));
  });
});
