import { describe, expect, it } from "vitest";
import type { Mode } from "../../src/partials/index.ts";
import { ringsOn } from "../../src/tap/rings-on.ts";
import { modeAt } from "./bells.ts";

const APART_S = 2;
const bell = [400, 800, 960, 1600].map((f, i) => modeAt(f, { decayRatePerS: 1 + i }));
/** The same partials after APART_S of decay, `gain` times as strong. */
const decayed = (gain: number): Mode[] =>
  bell.map((m) => ({
    ...m,
    amplitude: m.amplitude.map((a) => gain * a * Math.exp(-m.decayRatePerS * APART_S)),
  }));

describe("ringsOn", () => {
  it("ringsOn of no partials, or of two in common, does not say so", () => {
    expect(ringsOn([], [], APART_S)).toBe(false);
    expect(ringsOn(bell, decayed(1).slice(0, 2), APART_S)).toBe(false);
  });

  it("ringsOn is true where partials only decay, and where one of them is hidden under the sound", () => {
    expect(ringsOn(bell, decayed(1), APART_S)).toBe(true);
    expect(
      ringsOn(bell, [...decayed(1).slice(0, 3), modeAt(1600, { amplitude: Float64Array.of(10) })], APART_S),
    ).toBe(true);
  });

  it("ringsOn is false where a blow makes them louder by 6 dB and more, and where the partials are others", () => {
    expect(ringsOn(bell, decayed(2.1), APART_S)).toBe(false);
    expect(ringsOn(bell, decayed(1.9), APART_S)).toBe(true);
    expect(
      ringsOn(
        bell,
        bell.map((m) => modeAt(1.1 * m.frequencyHz)),
        APART_S,
      ),
    ).toBe(false);
  });
});
