import { describe, expect, it } from "vitest";
import { labelLines, totalAmplitude } from "../../src/partials/label-lines.ts";
import type { Mode } from "../../src/partials/mode.ts";
import { modeOf } from "./lines.ts";

const RECORD_S = 5;
const labelled = (lines: Mode[], floorDb = 0) => labelLines(lines, floorDb, RECORD_S, inNoQuiet);
/** Where there is no quiet to look in. */
const inNoQuiet = () => null;

/** Hum and prime of a bell. */
const HUM = modeOf({ frequencyHz: 524.3, decayRatePerS: 0.7, levelDb: -6 });
const PRIME = modeOf({ frequencyHz: 1040.7, decayRatePerS: 1.4, levelDb: 0 });

const steady = (frequencyHz: number, levelDb = -40) =>
  modeOf({ frequencyHz, decayRatePerS: 0.01, decayRateSdPerS: 0.01, levelDb });

describe("labelLines", () => {
  it("labelLines(nothing) is nothing", () => {
    expect(labelled([])).toEqual({ modes: [], steady: [], combinations: [] });
  });

  it("labelLines(partials) leaves them partials, in their order", () => {
    const { modes, steady: tones, combinations } = labelled([HUM, PRIME]);
    expect(modes).toEqual([HUM, PRIME]);
    expect([...tones, ...combinations]).toEqual([]);
  });

  it("labelLines(tones that do not decay, on harmonics of 50 or 60 Hz) are mains", () => {
    const { modes, steady: tones } = labelled([steady(50.01), steady(99.9), steady(360.3), steady(650), HUM]);
    expect(modes).toEqual([HUM]);
    expect(tones.map((tone) => [tone.frequencyHz, tone.kind])).toEqual([
      [50.01, "mains"],
      [99.9, "mains"],
      [360.3, "mains"],
      [650, "mains"],
    ]);
    expect(tones[0].text).toBe("50 Hz mains hum");
    expect(tones[2].text).toBe("harmonic 6 of 60 Hz mains");
    expect(tones[0].amplitude).toBeCloseTo(0.01, 12);
  });

  it("labelLines(a partial on a harmonic of the mains) is a partial where it decays", () => {
    const onMains = modeOf({ frequencyHz: 600, decayRatePerS: 0.7, levelDb: -3 });
    expect(labelled([onMains]).modes).toEqual([onMains]);
  });

  it("labelLines(a slow line on a harmonic of the mains) decays where its rate is five errors from none, elsewhere where it is three", () => {
    const slow = (frequencyHz: number, decayRateSdPerS: number) =>
      modeOf({ frequencyHz, decayRatePerS: 0.2, decayRateSdPerS, levelDb: -30 });
    expect(labelled([slow(300, 0.05), HUM]).steady.map((tone) => tone.kind)).toEqual(["mains"]);
    expect(labelled([slow(300, 0.035), HUM]).modes.length).toBe(2);
    expect(labelled([slow(330, 0.05), HUM]).modes.length).toBe(2);
  });

  it("labelLines(two tones on multiples of 1 kHz) are an electrical comb; one alone is a steady tone", () => {
    const comb = labelled([steady(1000.1), steady(3000.2), steady(4321)]).steady;
    expect(comb.map((tone) => tone.text)).toEqual([
      "multiple 1 of an electrical tone at 1 kHz",
      "multiple 3 of an electrical tone at 1 kHz",
      "a tone that does not decay",
    ]);
    expect(comb.map((tone) => tone.kind)).toEqual(Array(3).fill("steady tone"));
    expect(labelled([steady(3000.2), HUM]).steady[0].text).toBe("a tone that does not decay");
    // A clock is off by no more than 2e-4, and a line known to 1 Hz: 2 Hz at 5 kHz.
    const textAt = (frequencyHz: number) => labelled([steady(1000), steady(frequencyHz)]).steady[1].text;
    expect(textAt(5001.9)).toBe("multiple 5 of an electrical tone at 1 kHz");
    expect(textAt(5002.1)).toBe("a tone that does not decay");
  });

  it("labelLines(a rate of decay well known to be nothing) is a steady tone all the same", () => {
    const known = modeOf({ frequencyHz: 812, decayRatePerS: 0.01, decayRateSdPerS: 0.001, levelDb: -30 });
    expect(labelLines([known], 0, 300, inNoQuiet).steady.map((tone) => tone.kind)).toEqual(["steady tone"]);
  });

  it("labelLines(a decay no better known than nought) is steady where the quiet has the tone too, and it falls less than 10 dB in the record", () => {
    const labelled = (lines: Mode[]) => labelLines(lines, 0, RECORD_S, () => true);
    // 1.15 nepers over five seconds.
    const slow = modeOf({ frequencyHz: 812, decayRatePerS: 0.2, decayRateSdPerS: 0.1, levelDb: -30 });
    const fast = modeOf({ frequencyHz: 812, decayRatePerS: 0.3, decayRateSdPerS: 0.15, levelDb: -30 });
    const known = modeOf({ frequencyHz: 812, decayRatePerS: 0.2, decayRateSdPerS: 0.05, levelDb: -30 });
    expect(labelled([slow]).steady.length).toBe(1);
    expect(labelled([fast]).modes.length).toBe(1);
    expect(labelled([known]).modes.length).toBe(1);
  });

  it("labelLines(a decay no better known than nought) is a partial where the quiet has no such tone, and without a quiet unless it is faint", () => {
    const hum = modeOf({ frequencyHz: 99, decayRatePerS: 0.06, decayRateSdPerS: 0.05, levelDb: -10 });
    const faint = modeOf({ frequencyHz: 812, decayRatePerS: 0.06, decayRateSdPerS: 0.05, levelDb: -45 });
    const loud = modeOf({ frequencyHz: 400, decayRatePerS: 3, levelDb: 0 });
    const modesOf = (soundsInQuiet: () => boolean | null) =>
      labelLines([hum, loud, faint], 0, RECORD_S, soundsInQuiet).modes;
    expect(modesOf(() => false)).toEqual([hum, loud, faint]);
    expect(modesOf(() => null)).toEqual([hum, loud]);
    expect(modesOf(() => true)).toEqual([loud]);
  });

  it("labelLines(short dull resonances) are of the room below 200 Hz, of the rod above", () => {
    // Q = pi f/alpha: 12 and 7; a bell of 180 Hz that rings 10 s has 820.
    const room = modeOf({ frequencyHz: 80, decayRatePerS: 20, levelDb: -10 });
    const rod = modeOf({ frequencyHz: 900, decayRatePerS: 400, levelDb: -10 });
    const large = modeOf({ frequencyHz: 180, decayRatePerS: 0.69, levelDb: -10 });
    const { modes, steady: others } = labelled([room, large, rod]);
    expect(modes).toEqual([large]);
    expect(others.map((line) => line.kind)).toEqual(["room", "rod"]);
    expect(others.map((line) => line.text)).toEqual([
      "a short low resonance, of the room or the bench",
      "a short dull resonance, of the rod or its handle",
    ]);
  });

  it("labelLines(2 f_i and f_i + f_j, weak, decaying at the sum of the rates) are combinations of their parents", () => {
    const second = modeOf({ frequencyHz: 2081.4, decayRatePerS: 2.8, levelDb: -40 });
    const sum = modeOf({ frequencyHz: 1565.001, decayRatePerS: 2.1, levelDb: -45 });
    const { modes, combinations } = labelled([HUM, PRIME, sum, second]);
    expect(modes).toEqual([HUM, PRIME]);
    expect(combinations).toEqual([
      { frequencyHz: sum.frequencyHz, amplitude: totalAmplitude(sum), of: [0, 1] },
      { frequencyHz: second.frequencyHz, amplitude: totalAmplitude(second), of: [1, 1] },
    ]);
  });

  it.each([
    ["decays at its own, slower rate", { decayRatePerS: 1.1 }],
    ["decays faster than distortion would", { decayRatePerS: 9 }],
    ["is nearly as loud as its parent", { levelDb: -12 }],
    ["lies beside the sum by more than three standard errors", { frequencyHz: 2081.45 }],
  ])("labelLines(an octave that %s) is a partial", (_, change) => {
    const octave = modeOf({ frequencyHz: 2081.4, decayRatePerS: 2.8, levelDb: -40, ...change });
    const { modes, combinations } = labelled([HUM, PRIME, octave]);
    expect(combinations).toEqual([]);
    expect(modes).toEqual([HUM, PRIME, octave]);
  });

  it("labelLines(a weak line at an octave, beside a partial that decays like it) is the other member of that partial", () => {
    // Twice the prime by chance; the sum of its rates would be 2.8 /s.
    const nominal = modeOf({ frequencyHz: 2079.8, decayRatePerS: 4.4, levelDb: -20 });
    const member = modeOf({ frequencyHz: 2081.4, decayRatePerS: 4.2, levelDb: -40 });
    expect(labelled([HUM, PRIME, nominal, member]).modes).toEqual([HUM, PRIME, nominal, member]);
    // One that decays as distortion does is distortion all the same.
    const second = { ...member, decayRatePerS: 2.8 };
    expect(labelled([HUM, PRIME, nominal, second]).combinations.map((c) => c.of)).toEqual([[1, 1]]);
  });

  it("labelLines(a line made of a combination) is a combination of that one's parents", () => {
    const second = modeOf({ frequencyHz: 1048.6, decayRatePerS: 1.4, levelDb: -40 });
    const third = modeOf({ frequencyHz: 1572.9, decayRatePerS: 2.1, levelDb: -70 });
    const fourth = modeOf({ frequencyHz: 2089.3, decayRatePerS: 2.8, levelDb: -72 });
    const { modes, combinations } = labelled([HUM, PRIME, second, third, fourth]);
    expect(modes).toEqual([HUM, PRIME]);
    // 1048.6 + 1040.7 Hz: the second harmonic of the hum and the prime.
    expect(combinations.map((c) => c.of)).toEqual([
      [0, 0],
      [0, 0, 0],
      [0, 0, 1],
    ]);
  });

  it("labelLines(an octave whose frequency is hardly known) is not taken for one by its wide error alone", () => {
    const vague = modeOf({ frequencyHz: 2090, frequencySdHz: 0.5, decayRatePerS: 2.8, levelDb: -40 });
    expect(labelled([HUM, PRIME, vague]).modes.length).toBe(3);
  });

  it("labelLines(lines, a floor) leaves out what lies further under the strongest, and nothing where the floor is 0", () => {
    const weak = modeOf({ frequencyHz: 3300, decayRatePerS: 3, levelDb: -65 });
    expect(labelled([HUM, PRIME, weak], 60).modes).toEqual([HUM, PRIME]);
    expect(labelled([HUM, PRIME, weak], 0).modes.length).toBe(3);
    // Under the strongest, however loud the recording.
    const quieter = (line: Mode): Mode => ({ ...line, amplitude: line.amplitude.map((a) => a / 100) });
    expect(labelled([HUM, PRIME, weak].map(quieter), 60).modes.length).toBe(2);
    expect(labelled([HUM, PRIME, weak].map(quieter), 70).modes.length).toBe(3);
  });
});

describe("totalAmplitude", () => {
  it("totalAmplitude is the root of the summed squares over channels, nought without channels", () => {
    expect(totalAmplitude({ amplitude: new Float64Array(0) })).toBe(0);
    expect(totalAmplitude({ amplitude: Float64Array.of(3, 4) })).toBe(5);
  });
});

describe("labelLines, combinations limit by limit", () => {
  const A = modeOf({ frequencyHz: 500, decayRatePerS: 2, levelDb: 0 });
  const B = modeOf({ frequencyHz: 1210, decayRatePerS: 3, levelDb: -5 });
  /** Whether, beside the two, this one is taken for what they make. */
  const isMade = (line: Mode, ...others: Mode[]) =>
    labelLines([A, B, ...others, line], 0, 6, inNoQuiet).combinations.some(
      ({ frequencyHz }) => frequencyHz === line.frequencyHz,
    );
  const sum = (change: Partial<Mode> & { levelDb?: number } = {}) =>
    modeOf({ frequencyHz: 1710, decayRatePerS: 5, levelDb: -40, ...change });

  it("labelLines follows combinations of combinations up to four parents, in whatever order the lines come", () => {
    const chain = [1, 2, 3, 4].map(
      (n): Mode => modeOf({ frequencyHz: 500 + 1210 * n, decayRatePerS: 2 + 3 * n, levelDb: -28 - 2 * n }),
    );
    for (const lines of [
      [A, B, ...chain],
      [...chain.toReversed(), B, A],
    ]) {
      const { modes, combinations } = labelLines(lines, 0, 6, inNoQuiet);
      const [a, b] = [modes.indexOf(A), modes.indexOf(B)];
      const made = combinations.toSorted((x, y) => x.frequencyHz - y.frequencyHz).map(({ of }) => of);
      expect(made).toEqual([[a, b].sort(), [a, b, b].sort(), [a, b, b, b].sort()]);
      // Five would be distortion of the fifth order.
      expect(modes).toContain(chain[3]);
    }
  });

  it("labelLines wants the louder parent 25 dB over the line, the other over it, and both within 60 dB of the strongest", () => {
    expect([isMade(sum({ levelDb: -24.9 })), isMade(sum({ levelDb: -25.1 }))]).toEqual([false, true]);
    const parent = (levelDb: number) => modeOf({ frequencyHz: 830, decayRatePerS: 1, levelDb });
    const line = (levelDb: number) => modeOf({ frequencyHz: 1330, decayRatePerS: 3, levelDb });
    expect([isMade(line(-41), parent(-40)), isMade(line(-39), parent(-40))]).toEqual([true, false]);
    expect([isMade(line(-65), parent(-59.9)), isMade(line(-65), parent(-60.1))]).toEqual([true, false]);
  });

  it("labelLines wants the frequency within three errors; those of one parent taken twice add up", () => {
    const known = { frequencySdHz: 0.001 };
    const a = { ...A, frequencySdHz: 0.01 };
    const b = { ...B, frequencySdHz: 0.01 };
    const made = (line: Mode) => labelLines([a, b, line], 0, 6, inNoQuiet).combinations.length === 1;
    const two = 3 * Math.hypot(0.001, 0.01, 0.01);
    const twice = 3 * Math.hypot(0.001, 0.02);
    for (const side of [-1, 1]) {
      const at = (off: number) => made(sum({ ...known, frequencyHz: 1710 + side * off }));
      expect([at(0.99 * two), at(1.01 * two)]).toEqual([true, false]);
      const double = (off: number) =>
        made(sum({ ...known, frequencyHz: 1000 + side * off, decayRatePerS: 4 }));
      expect([double(0.99 * twice), double(1.01 * twice)]).toEqual([true, false]);
    }
  });

  it("labelLines wants the rate from 0.7 to 2.2 of the parents', three errors of it more either way", () => {
    const at = (ratio: number, relative: number) =>
      isMade(sum({ decayRatePerS: 5 * ratio, decayRateSdPerS: 5 * ratio * relative }));
    expect([at(0.69, 0.001), at(0.71, 0.001), at(2.19, 0.001), at(2.21, 0.001)]).toEqual([
      false,
      true,
      true,
      false,
    ]);
    expect([at(0.56, 0.05), at(0.54, 0.05), at(2.34, 0.05), at(2.36, 0.05)]).toEqual([
      true,
      false,
      true,
      false,
    ]);
  });

  it("labelLines leaves to a partial its other member only within 1.2 % of its frequency", () => {
    const alike = (frequencyHz: number) => modeOf({ frequencyHz, decayRatePerS: 5.5, levelDb: -10 });
    const line = sum({ decayRatePerS: 5.5 });
    expect([1710 * 1.0119, 1710 * 1.0121, 3000].map((f) => isMade(line, alike(f)))).toEqual([
      false,
      true,
      true,
    ]);
  });

  it("labelLines lists no combination of a line that is too weak to be listed itself", () => {
    const parent = modeOf({ frequencyHz: 830, decayRatePerS: 1, levelDb: -55 });
    const line = modeOf({ frequencyHz: 1330, decayRatePerS: 3, levelDb: -58 });
    const { modes, combinations } = labelLines([A, B, parent, line], 50, 6, inNoQuiet);
    expect([modes, combinations]).toEqual([[A, B], []]);
    expect(labelLines([A, B, parent, line], 56, 6, inNoQuiet).combinations.map(({ of }) => of)).toEqual([
      [0, 2],
    ]);
  });

  it("labelLines knows the mains up to its twentieth harmonic", () => {
    const kindAt = (frequencyHz: number) =>
      labelLines(
        [A, modeOf({ frequencyHz, decayRatePerS: 0.001, levelDb: -40 })],
        0,
        6,
        inNoQuiet,
      ).steady.map(({ kind, text }) => [kind, text]);
    expect(kindAt(1000)).toEqual([["mains", "harmonic 20 of 50 Hz mains"]]);
    expect(kindAt(1200)).toEqual([["mains", "harmonic 20 of 60 Hz mains"]]);
    expect(kindAt(1250)).toEqual([["steady tone", "a tone that does not decay"]]);
  });
});
