import { describe, expect, it } from "vitest";
import type { Expected } from "../../src/foundry/expected.ts";
import { pairPartials } from "../../src/foundry/review-pairs.ts";
import type { TapMeasurement } from "../../src/measurement/index.ts";
import { soundBell } from "../support/sample-measurement.ts";

const estimate = (value: number) => ({ value, ci95: 0 });

type Line = [name: string | null, frequencyHz: number];

const planned = (lines: Line[], strikeHz: number | null = null): Expected => ({
  strikeNoteHz: strikeHz === null ? null : estimate(strikeHz),
  partials: lines.map(([name, hertz]) => ({
    name,
    frequencyHz: estimate(hertz),
    decayTimeS: estimate(hertz / 100),
  })),
  massKg: null,
  diameterM: null,
});

function measured(lines: Line[], strikeHz: number | null = null): TapMeasurement {
  const bell = soundBell();
  return {
    ...bell,
    partials: lines.map(([name, hertz]) => ({
      ...bell.partials[0]!,
      ...{ name, frequencyHz: estimate(hertz), decayTimeS: estimate(hertz / 50) },
    })),
    strikeNote: strikeHz === null ? null : { ...bell.strikeNote!, frequencyHz: estimate(strikeHz) },
  };
}

const pairs = (expected: Expected, measurement: TapMeasurement) =>
  pairPartials(expected, measurement).map(({ name, plannedHz, measuredHz }) => [
    name,
    plannedHz.value,
    measuredHz.value,
  ]);

describe("pairPartials", () => {
  it("pairPartials of nothing is nothing, and shares no name with what was not planned", () => {
    expect(pairs(planned([]), measured([["hum", 200]]))).toEqual([]);
    expect(pairs(planned([["hum", 200]]), measured([]))).toEqual([]);
    expect(pairs(planned([["hum", 200]]), measured([["prime", 200]]))).toEqual([]);
  });

  it("pairPartials goes by name however far they moved, in ascending order of the plan, with both decays", () => {
    const expected = planned([
      ["prime", 400],
      ["hum", 200],
    ]);
    const found = pairPartials(
      expected,
      measured([
        ["prime", 500],
        ["hum", 250],
      ]),
    );
    expect(found.map(({ name }) => name)).toEqual(["hum", "prime"]);
    expect(found[0]).toMatchObject({ plannedDecayS: { value: 2 }, measuredDecayS: { value: 5 } });
  });

  it("pairPartials gives each measured partial to one planned one", () => {
    const two: Line[] = [
      ["hum", 200],
      ["hum", 210],
    ];
    expect(pairs(planned(two), measured([["hum", 205]]))).toEqual([["hum", 200, 205]]);
    const nameless: Line[] = [
      [null, 1000],
      [null, 1010],
    ];
    expect(pairs(planned(nameless), measured([[null, 1005]]))).toEqual([[null, 1000, 1005]]);
  });

  it("pairPartials takes a nameless one for the nearest nameless one within a semitone of where the others moved", () => {
    // The named moved up by 2 and by 8 : sqrt 16 = 4 in the middle of their logarithms.
    const expected = planned([
      ["hum", 100],
      ["prime", 200],
      [null, 1000],
    ]);
    const moved: Line[] = [
      ["hum", 200],
      ["prime", 1600],
    ];
    const semitone = 2 ** (1 / 12);
    const nameless = (...hertz: number[]) =>
      pairs(expected, measured([...moved, ...hertz.map((f): Line => [null, f])])).at(-1);
    expect(nameless(3900, 4040, 4100)).toEqual([null, 1000, 4040]);
    expect(nameless(4100, 4040, 3900)).toEqual([null, 1000, 4040]);
    expect(nameless(4000 * semitone * 1.0001)).toEqual(["prime", 200, 1600]);
    expect(nameless(4000 * semitone * 0.9999)).toEqual([null, 1000, 4000 * semitone * 0.9999]);
    expect(nameless(4000 / semitone / 1.0001)).toEqual(["prime", 200, 1600]);
    // One with a name is another partial.
    expect(pairs(expected, measured([...moved, ["nominal", 4000]]))).toHaveLength(2);
  });

  it("pairPartials without named pairs follows the strike note, and without that stays where it is", () => {
    const expected = planned([[null, 1000]], 500);
    expect(pairs(expected, measured([[null, 2000]], 1000))).toEqual([[null, 1000, 2000]]);
    expect(pairs(expected, measured([[null, 2000]]))).toEqual([]);
    expect(pairs(expected, measured([[null, 1020]]))).toEqual([[null, 1000, 1020]]);
    expect(pairs(planned([[null, 1000]]), measured([[null, 1020]], 1000))).toEqual([[null, 1000, 1020]]);
  });
});
