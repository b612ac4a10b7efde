import { describe, expect, test } from "vitest";
import { aWeightingDb } from "../../../src/bell/index.ts";
import type { VoiceMember } from "../../../src/report/chart-spec.ts";
import { viewsOf } from "../../../src/report/compare/view.ts";
import { atEqualLevel, comparedVoices } from "../../../src/report/compare/voices.ts";
import { nothingInCommon, threeCastings, twoAlloys } from "./compared.ts";

/** A-weighted level of the summed powers at the strike, dB; the weighting is that of IEC 61672-1 (tests/bell). */
const levelDba = (members: readonly VoiceMember[]) =>
  10 * Math.log10(members.reduce((sum, [f, , a]) => sum + a * a * 10 ** (aWeightingDb(f) / 10), 0));
const sum = (members: readonly VoiceMember[]) => members.reduce((total, [, , a]) => total + a, 0);

describe("atEqualLevel(sounds)", () => {
  test("atEqualLevel([]) is nothing", () => {
    expect(atEqualLevel([])).toEqual([]);
  });

  test("atEqualLevel(sounds) brings a low tone and a chord to one A-weighted level, and none can clip", () => {
    const sounds: VoiceMember[][] = [
      [[100, 1, 0.01, 0]],
      [
        [1000, 1, 3, 0],
        [2500, 2, 4, 1],
      ],
    ];
    const [low, chord] = atEqualLevel(sounds);
    // Amplitudes are kept to five digits.
    expect(levelDba(low)).toBeCloseTo(levelDba(chord), 3);
    expect(Math.max(sum(low), sum(chord))).toBeCloseTo(0.5, 4);
    // The proportions within a sound stay.
    expect(chord[1][2] / chord[0][2]).toBeCloseTo(4 / 3, 3);
  });
});

describe("comparedVoices(views)", () => {
  const voicesOf = ({ comparison, measurements }: ReturnType<typeof twoAlloys>) =>
    comparedVoices(viewsOf(comparison, measurements));

  test("comparedVoices(views) of a casting without partials is nothing", () => {
    expect(voicesOf(nothingInCommon())).toEqual([]);
  });

  test("comparedVoices(views) offers A, B, A then B, and every pair, all at equal loudness", () => {
    const voices = voicesOf(twoAlloys());
    expect(voices.slice(0, 3).map(({ label }) => label)).toEqual([
      "A, rebuilt",
      "B, rebuilt",
      "A, then B, at equal loudness",
    ]);
    expect(voices).toHaveLength(3 + 7);
    const [a, b, both] = voices;
    expect(both.turns).toEqual([a.turns[0], b.turns[0]]);
    for (const { turns } of voices.slice(2)) {
      expect(turns).toHaveLength(2);
      expect(levelDba(turns[0])).toBeCloseTo(levelDba(turns[1]), 2);
    }
  });

  test("comparedVoices(views) of three castings has one level for all and a mark for each", () => {
    const voices = voicesOf(threeCastings());
    const alone = voices.filter(({ label }) => /^[ABC], rebuilt$/.test(label));
    expect(alone).toHaveLength(3);
    for (const { turns } of alone) expect(levelDba(turns[0])).toBeCloseTo(levelDba(alone[0].turns[0]), 2);
    expect(new Set(voices.map(({ mark }) => mark)).size).toBe(voices.length);
  });
});
