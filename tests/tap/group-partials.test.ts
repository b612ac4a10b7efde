import { describe, expect, it } from "vitest";
import { groupPartials } from "../../src/tap/group-partials.ts";
import { modeAt } from "./bells.ts";

/** Amplitude of one mode `db` under that of modeAt. */
const under = (db: number) => Float64Array.of(0.1 * 10 ** (-db / 20));
const members = (...modes: ReturnType<typeof modeAt>[]) => groupPartials(modes).map((g) => g.members);

describe("groupPartials", () => {
  it("groupPartials gives no partials of no modes", () => {
    expect(groupPartials([])).toEqual([]);
  });

  it("groupPartials gives one mode back as it is, at 0 dB, with 1.96 standard errors", () => {
    const [only, ...more] = groupPartials([modeAt(500)]);
    expect(more).toEqual([]);
    expect(only.members).toEqual([0]);
    expect(only.doublet).toBeNull();
    expect(only.frequencyHz.value).toBe(500);
    expect(only.frequencyHz.ci95).toBeCloseTo(0.0196, 12);
    expect(only.levelDb.value).toBeCloseTo(0, 12);
    // T60 = ln(1000) / alpha, relative error as that of alpha: 1 %.
    expect(only.decayTimeS.value).toBeCloseTo(Math.log(1000) / 2, 12);
    expect(only.decayTimeS.ci95 / only.decayTimeS.value).toBeCloseTo(1.96 * 0.01, 12);
  });

  it("groupPartials keeps modes apart that are 2 % apart and near a third", () => {
    expect(members(modeAt(500), modeAt(510), modeAt(530))).toEqual([[0], [1], [2]]);
  });

  it("groupPartials joins two modes 0.4 % apart into one partial with its doublet", () => {
    const [g, ...more] = groupPartials([modeAt(500), modeAt(502)]);
    expect(more).toEqual([]);
    expect(g.frequencyHz.value).toBeCloseTo(501, 9);
    expect(g.doublet?.splitHz.value).toBeCloseTo(2, 12);
    expect(g.doublet?.splitHz.ci95).toBeCloseTo(1.96 * Math.hypot(0.01, 0.01), 12);
    // Two equal powers are 3.01 dB over one.
    expect(g.doublet?.members.map((m) => m.levelDb.value)).toEqual([
      expect.closeTo(-3.0103, 4),
      expect.closeTo(-3.0103, 4),
    ]);
    expect(g.levelDb.value).toBeCloseTo(0, 12);
  });

  it("groupPartials weighs the centre by power: a member 20 dB down draws it by a hundredth", () => {
    const [g] = groupPartials([modeAt(500), modeAt(502, { amplitude: under(20) })]);
    expect(g.frequencyHz.value).toBeCloseTo(500 + (2 * 0.01) / 1.01, 9);
  });

  it("groupPartials gives the depth of the beat of two unequal members, (a + b) / (a - b)", () => {
    const [g] = groupPartials([modeAt(500), modeAt(502, { amplitude: Float64Array.of(0.05) })]);
    expect(g.doublet?.beatDepthDb).toBeCloseTo(20 * Math.log10(0.15 / 0.05), 9);
  });

  it("groupPartials holds the depth of the beat of equal members at 60 dB", () => {
    expect(groupPartials([modeAt(500), modeAt(502)])[0].doublet?.beatDepthDb).toBe(60);
  });

  it("groupPartials claims no split of which 0.35 of a beat is not seen before the noise", () => {
    // A mode of rho = 1e6 meets the noise of its own linewidth after ln(4e6)/2 / alpha seconds.
    const seenS = (0.5 * Math.log(4e6)) / 2;
    const at = (turns: number) => groupPartials([modeAt(500), modeAt(500 + turns / seenS)])[0];
    expect(at(0.36).doublet).not.toBeNull();
    const unseen = at(0.34);
    expect(unseen.doublet).toBeNull();
    expect(unseen.members).toEqual([0, 1]);
    // The partial is somewhere between its two lines.
    expect(unseen.frequencyHz.ci95).toBeGreaterThanOrEqual(0.5 * (0.34 / seenS) * 0.999999);
  });

  it("groupPartials sees less of a beat where the misfit lies over the noise", () => {
    const pair = (chi: number) =>
      groupPartials([modeAt(500, { chi }), modeAt(500 + 0.36 / ((0.5 * Math.log(4e6)) / 2), { chi })])[0];
    expect(pair(1).doublet).not.toBeNull();
    expect(pair(100).doublet).toBeNull();
  });

  it("groupPartials does not join lines of unlike decay or level", () => {
    expect(members(modeAt(500), modeAt(502, { decayRatePerS: 8.1 }))).toEqual([[0], [1]]);
    expect(members(modeAt(500), modeAt(502, { decayRatePerS: 7.9 }))).toEqual([[0, 1]]);
    expect(members(modeAt(500), modeAt(502, { amplitude: under(35.5) }))).toEqual([[0], [1]]);
    expect(members(modeAt(500), modeAt(502, { amplitude: under(34.5) }))).toEqual([[0, 1]]);
  });

  it("groupPartials keeps lines more than 1.2 % apart as two tones", () => {
    expect(members(modeAt(500), modeAt(505.9))).toEqual([[0, 1]]);
    expect(members(modeAt(500), modeAt(506.1))).toEqual([[0], [1]]);
  });

  it("groupPartials makes one partial of a cluster of four and begins another with the fifth", () => {
    const modes = [0, 1, 2, 3, 4].map((k) => modeAt(500 + k));
    expect(members(...modes)).toEqual([[0, 1, 2, 3], [4]]);
    expect(groupPartials(modes)[0].doublet?.members.map((m) => m.frequencyHz.value)).toEqual([
      500, 501, 502, 503,
    ]);
    expect(groupPartials(modes)[0].doublet?.splitHz.value).toBeCloseTo(3, 12);
  });

  it("groupPartials gives levels relative to the strongest partial", () => {
    const groups = groupPartials([modeAt(500, { amplitude: under(12) }), modeAt(1000)]);
    expect(groups[0].levelDb.value).toBeCloseTo(-12, 9);
    expect(groups[1].levelDb.value).toBeCloseTo(0, 12);
  });

  it("groupPartials adds up the strength of the members and where they were seen", () => {
    const [g] = groupPartials([
      modeAt(500, { seenIn: ["later stretch", "other channel"] }),
      modeAt(502, { seenIn: ["later stretch"] }),
    ]);
    expect(g.rho).toBe(2e6);
    expect(g.seenIn).toEqual(["later stretch", "other channel"]);
  });

  it("groupPartials takes the phase of the strongest member in its strongest channel", () => {
    const [g] = groupPartials([
      modeAt(500, { amplitude: Float64Array.of(0.01, 0.02), phaseRad: Float64Array.of(1, 2) }),
      modeAt(502, { amplitude: Float64Array.of(0.1, 0.2), phaseRad: Float64Array.of(-1, -2) }),
    ]);
    expect(g.phaseRad.value).toBe(-2);
  });
});
