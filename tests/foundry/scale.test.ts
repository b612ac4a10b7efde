import { describe, expect, it } from "vitest";
import { castDensityKgM3 } from "../../src/foundry/alloy-sheets.ts";
import { parseComposition } from "../../src/foundry/composition.ts";
import { planScale, type ScaleRequest } from "../../src/foundry/scale.ts";
import { emptyMeasurement, noisyRecording, soundBell } from "../support/sample-measurement.ts";

const estimate = (value: number, ci95 = 0) => ({ value, ci95 });

function scale(over: Partial<ScaleRequest> = {}) {
  return planScale({
    measurement: soundBell(),
    reference: "strike note",
    targetHz: 261.6,
    targetNote: null,
    size: {
      diameterM: estimate(0.3, 0.0005),
      heightM: null,
      wallM: estimate(0.02, 0.0005),
      massKg: estimate(20, 0.05),
    },
    fromAlloy: null,
    toAlloy: null,
    family: [],
    wallOnly: false,
    contraction: { fraction: estimate(0.015), source: "set by the founder" },
    temperature: null,
    ...over,
  });
}

describe("planScale", () => {
  it.each<[string, Partial<ScaleRequest>, RegExp]>([
    ["no frequency", { targetHz: 0 }, /above 0 Hz/],
    ["a frequency that is no number", { targetHz: Number.NaN }, /above 0 Hz/],
    ["an infinite frequency", { targetHz: Number.POSITIVE_INFINITY }, /above 0 Hz/],
    ["a measurement of nothing", { measurement: emptyMeasurement() }, /no strike note; .*--pin/],
    ["a measurement without strike note", { measurement: noisyRecording() }, /no strike note/],
    ["a partial that is not there", { reference: "twelfth" }, /no partial called twelfth; .*: hum, prime/],
    ["half a change of alloy", { toAlloy: parseComposition("Cu80Sn20") }, /needs both/],
    ["the other half alone", { fromAlloy: parseComposition("Cu80Sn20") }, /needs both/],
    [
      "an alloy without published contraction",
      {
        contraction: null,
        fromAlloy: parseComposition("Cu80Sn20"),
        toAlloy: parseComposition("Cu85Al11Fe4"),
      },
      /no published contraction/,
    ],
  ])("planScale refuses %s", (_, over, message) => {
    expect(() => scale(over)).toThrow(message);
  });

  it("planScale an octave down doubles every length and makes eight times the mass (similarity)", () => {
    const plan = scale();
    expect(plan.factor.value).toBeCloseTo(2, 12);
    expect(plan.massFactor.value).toBeCloseTo(8, 10);
    expect(plan.massFactor.ci95 / 8).toBeCloseTo((3 * plan.factor.ci95) / 2, 10);
    expect(
      plan.lengths.map(({ name, castingM, patternM }) => [name, castingM.value, patternM.value]),
    ).toEqual([
      ["diameter", expect.closeTo(0.6, 12), expect.closeTo(0.609, 12)],
      ["wall", expect.closeTo(0.04, 12), expect.closeTo(0.0406, 12)],
    ]);
    expect(plan.patternFactor.value).toBeCloseTo(2.03, 12);
    expect(plan.expected.massKg!.value).toBeCloseTo(160, 9);
    expect(plan.expected.diameterM!.value).toBeCloseTo(0.6, 12);
  });

  it("planScale expects every partial and every decay to follow: half the pitch, twice the ring", () => {
    const measured = soundBell();
    const { expected } = scale();
    expect(expected.strikeNoteHz!.value).toBeCloseTo(261.6, 9);
    expected.partials.forEach((partial, i) => {
      expect(partial.frequencyHz.value).toBeCloseTo(measured.partials[i]!.frequencyHz.value / 2, 9);
      expect(partial.decayTimeS!.value).toBeCloseTo(measured.partials[i]!.decayTimeS.value * 2, 9);
      // Castings differ by 1 % in pitch and 30 % in decay, and an octave is bridged with an exponent of 1 +- 0.03.
      expect(partial.frequencyHz.ci95 / partial.frequencyHz.value).toBeGreaterThan(
        Math.hypot(0.01, Math.LN2 * 0.03),
      );
      expect(partial.decayTimeS!.ci95 / partial.decayTimeS!.value).toBeGreaterThan(0.3);
    });
  });

  it("planScale of the note it has is a factor of one, as sure as the strike note was measured", () => {
    const plan = scale({ targetHz: 523.2 });
    expect(plan.factor.value).toBeCloseTo(1, 12);
    expect(plan.factor.ci95).toBeCloseTo(0.06 / 523.2, 12);
  });

  it("planScale goes by a named partial when told to", () => {
    const plan = scale({ reference: "nominal", targetHz: 1046.8 / 1.25 });
    expect(plan.factor.value).toBeCloseTo(1.25, 12);
    expect(plan.from.reference).toBe("nominal");
  });

  it("planScale to another alloy multiplies in sqrt(E/density), carries its spread and withholds the decay", () => {
    const alloys = { fromAlloy: parseComposition("Cu90Sn10"), toAlloy: parseComposition("Cu80Sn20") };
    const plan = scale(alloys);
    expect(plan.factor.value).toBeCloseTo(2 * plan.alloy!.frequencyRatio.value, 12);
    expect(plan.factor.ci95 / plan.factor.value).toBeGreaterThanOrEqual(0.05);
    expect(plan.expected.partials.every((partial) => partial.decayTimeS === null)).toBe(true);
    const relative = plan.expected.strikeNoteHz!.ci95 / plan.expected.strikeNoteHz!.value;
    expect(relative).toBeGreaterThanOrEqual(0.05);
    expect(plan.notes.join(" ")).toMatch(/trial bell/);
  });

  it("planScale with one alloy named twice takes nothing from a sheet but its contraction", () => {
    const bell = parseComposition("Cu80Sn20");
    const plan = scale({ fromAlloy: bell, toAlloy: bell, contraction: null });
    expect(plan.factor.value).toBeCloseTo(2, 12);
    expect(plan.factor.ci95).toBeCloseTo(scale().factor.ci95, 12);
    expect(plan.expected.partials[0]!.decayTimeS).not.toBeNull();
    expect(plan.contraction.percent.value).toBeCloseTo((1.3 + 1.5625) / 2, 9);
  });

  it("planScale of the wall alone keeps the diameter and is less sure than overall", () => {
    const plan = scale({ wallOnly: true, targetHz: 523.2 * 1.1 });
    expect(plan.law).toBe("wall");
    expect(plan.wallFactor!.value).toBeCloseTo(1.1 ** (1 / 0.9), 12);
    expect(plan.wallFactor!.ci95 / plan.wallFactor!.value).toBeGreaterThan(
      plan.factor.ci95 / plan.factor.value,
    );
    expect(plan.lengths.map(({ castingM }) => castingM.value)).toEqual([
      expect.closeTo(0.3, 12),
      expect.closeTo(0.02 * plan.wallFactor!.value, 12),
    ]);
    // A thicker wall is higher and heavier; the whole bell would have to shrink.
    expect(plan.expected.massKg!.value).toBeCloseTo(20 * plan.wallFactor!.value, 9);
    expect(plan.factor.value).toBeLessThan(1);
    expect(plan.notes.join(" ")).toMatch(/do not move together/);
  });

  it("planScale with a family takes its fitted exponent: 0.8 needs more than twice the size for an octave", () => {
    const family = [0.15, 0.3, 0.6].map((size) => ({
      size: estimate(size),
      frequencyHz: estimate(523.2 * (size / 0.3) ** -0.8),
    }));
    const plan = scale({ family });
    expect(plan.factor.value).toBeCloseTo(2 ** (1 / 0.8), 9);
    expect(plan.family).toEqual({ bells: 3, scatterRelative: expect.closeTo(0, 9) });
    expect(plan.exponentSource).toMatch(/fitted to 3 measured bells/);
  });

  it("planScale for a colder place makes the bell a little larger, since it will sound sharper there", () => {
    const cold = scale({ temperature: { measuredC: 20, playedC: 0 } });
    expect(cold.factor.value).toBeGreaterThan(2);
    expect(cold.factor.value).toBeLessThan(2.01);
    expect(cold.factor.ci95).toBeGreaterThan(scale().factor.ci95);
  });

  it("planScale warns of a plan far from its model, and of a doubtful strike note", () => {
    expect(scale().notes.join(" ")).toMatch(/far from the measured bell/);
    expect(scale({ targetHz: 500 }).notes).toEqual([]);
    const doubtful = soundBell();
    doubtful.strikeNote!.confidence = 0.3;
    expect(scale({ measurement: doubtful, targetHz: 500 }).notes.join(" ")).toMatch(/uncertain/);
  });

  it("planScale of unknown sizes gives factors and pitch, and no mass or diameter", () => {
    const plan = scale({ size: { diameterM: null, heightM: null, wallM: null, massKg: null } });
    expect(plan.lengths).toEqual([]);
    expect(plan.expected).toMatchObject({ massKg: null, diameterM: null });
  });

  it("planScale adds what is uncertain in squares: an octave down, by hand", () => {
    const contraction = { fraction: estimate(0.015, 0.001), source: "" };
    const plan = scale({ contraction });
    const pitch = 0.06 / 523.2;
    const factor = Math.hypot(pitch, Math.LN2 * 0.03);
    expect(plan.factor.ci95).toBeCloseTo(2 * factor, 12);
    expect(plan.contraction.percent.ci95).toBeCloseTo(0.1, 12);
    // The castings' sizes to 1/600 and 1/40, and the contraction on them.
    const [diameter, wall] = plan.lengths;
    for (const [length, own] of [
      [diameter!, 0.0005 / 0.3],
      [wall!, 0.0005 / 0.02],
    ] as const) {
      expect(length.castingM.ci95 / length.castingM.value).toBeCloseTo(Math.hypot(own, factor), 12);
      const pattern = Math.hypot(1.015 * length.castingM.ci95, length.castingM.value * 0.001);
      expect(length.patternM.ci95).toBeCloseTo(pattern, 12);
    }
    // Measured twice (its own partial and the one gone by), the exponent over an octave, contraction, castings' spread.
    const common = [pitch, Math.LN2 * 0.03, 0.001, 0.01];
    const { strikeNoteHz, massKg, diameterM } = plan.expected;
    expect(strikeNoteHz!.ci95 / strikeNoteHz!.value).toBeCloseTo(Math.hypot(pitch, ...common), 12);
    expect(massKg!.ci95 / massKg!.value).toBeCloseTo(Math.hypot(0.05 / 20, 3 * 0.001, 0.03), 12);
    expect(diameterM!.ci95 / diameterM!.value).toBeCloseTo(Math.hypot(0.0005 / 0.3, 0.001), 12);
  });

  it("planScale of the wall alone adds what is uncertain in squares: a tenth higher, by hand", () => {
    const plan = scale({ wallOnly: true, targetHz: 523.2 * 1.1 });
    const wall = Math.hypot(0.06 / 523.2 / 0.9, (Math.log(1.1) * 0.3) / 0.9 ** 2);
    expect(plan.wallFactor!.ci95 / plan.wallFactor!.value).toBeCloseTo(wall, 12);
    // The mass goes with the wall, and up to a tenth of its change more or less.
    expect(plan.massFactor.value).toBeCloseTo(plan.wallFactor!.value, 12);
    const slack = 0.1 * Math.log(plan.wallFactor!.value);
    expect(plan.massFactor.ci95 / plan.massFactor.value).toBeCloseTo(Math.hypot(wall, slack), 12);
  });

  it("planScale to a lighter alloy has the mass of the new density, and its spread", () => {
    const alloys = { fromAlloy: parseComposition("Cu81Sn19"), toAlloy: parseComposition("Cu85Al11Fe4") };
    const plan = scale({ ...alloys, targetHz: 523.2 });
    const from = castDensityKgM3(alloys.fromAlloy).densityKgM3;
    const to = castDensityKgM3(alloys.toAlloy).densityKgM3;
    const density = to.value / from.value;
    expect(density).toBeLessThan(0.9);
    expect(plan.massFactor.value).toBeCloseTo(plan.factor.value ** 3 * density, 12);
    expect(plan.expected.massKg!.value).toBeCloseTo(20 * plan.factor.value ** 3 * density, 9);
    const spread = Math.hypot(from.ci95 / from.value, to.ci95 / to.value);
    const factor = (3 * plan.factor.ci95) / plan.factor.value;
    expect(plan.massFactor.ci95 / plan.massFactor.value).toBeCloseTo(Math.hypot(factor, spread), 12);
  });

  it("planScale for another temperature is as unsure as its coefficient: -1.8e-4 +- 0.75e-4 a kelvin over 20", () => {
    const { factor } = scale({ targetHz: 523.2, temperature: { measuredC: 20, playedC: 0 } });
    const drift = ((-3.8e-4 + 1.84e-5) / 2) * -20;
    expect(factor.value).toBeCloseTo(1 + drift, 12);
    const coefficient = (Math.hypot(1.5e-4, 1e-6) / 2) * 20;
    const relative = [0.06 / 523.2, coefficient / (1 + drift), Math.log(1 + drift) * 0.03];
    expect(factor.ci95 / factor.value).toBeCloseTo(Math.hypot(...relative), 12);
  });

  it("planScale by a partial of a bell without strike note expects none, and does not warn of it", () => {
    const silent = { ...soundBell(), strikeNote: null };
    const plan = scale({ measurement: silent, reference: "nominal", targetHz: 1000 });
    expect(plan.expected.strikeNoteHz).toBeNull();
    const doubtful = soundBell();
    doubtful.strikeNote!.confidence = 0.3;
    expect(scale({ measurement: doubtful, reference: "nominal", targetHz: 1000 }).notes).toEqual([]);
    doubtful.strikeNote!.confidence = 0.5;
    expect(scale({ measurement: doubtful, targetHz: 500 }).notes).toEqual([]);
  });

  it("planScale warns of a plan far above its model as of one far below", () => {
    expect(scale({ targetHz: 523.2 * 1.4 }).notes).toEqual([]);
    expect(scale({ targetHz: 523.2 * 1.6 }).notes.join(" ")).toMatch(/far from the measured bell/);
  });
});
