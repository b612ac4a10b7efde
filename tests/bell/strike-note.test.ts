import { describe, expect, test } from "vitest";
import {
  halfOf,
  SPECTRAL,
  type StrikeNotePartial,
  strikeNoteOf,
  VIRTUAL,
} from "../../src/bell/strike-note.ts";
import { D5_BELL } from "./measured-bells.ts";

const HALF_NOMINAL = halfOf("nominal");

/** Levels in dB for each; names only where asked. */
function bell(hertz: number[], levelsDb: number[] = [], nominal = -1): StrikeNotePartial[] {
  return hertz.map((value, i) => ({
    name: i === nominal ? "nominal" : null,
    nameConfidence: i === nominal ? 0.95 : null,
    frequencyHz: { value, ci95: 1e-4 * value },
    levelDb: { value: levelsDb[i] ?? 0, ci95: 0.3 },
  }));
}

const d5 = (primeHz: number) => D5_BELL.map(([, ratio]) => primeHz * ratio);
const NOMINAL = D5_BELL.findIndex(([name]) => name === "nominal");

describe("strikeNoteOf(partials, a4Hz)", () => {
  test("strikeNoteOf([]) and of partials above 5 kHz alone is null", () => {
    expect(strikeNoteOf([], 440, "nominal")).toBeNull();
    expect(strikeNoteOf(bell([6000, 9000]), 440, "nominal")).toBeNull();
  });

  test("strikeNoteOf() of one partial is its pitch, with no rival", () => {
    const strike = strikeNoteOf(bell([1000]), 440, "nominal");
    expect(strike).toMatchObject({ note: "B5", method: SPECTRAL, confidence: 1 });
    expect(strike?.frequencyHz).toEqual({ value: 1000, ci95: 0.1 });
    expect(strike?.candidates).toHaveLength(1);
  });

  test("strikeNoteOf(800, 1200, 1600 Hz) is the missing 400 Hz, named or not", () => {
    // Schouten & 't Hart 1965 (from memory): (4,1) : (5,1) : (6,1) near 2 : 3 : 4, the strike note is the missing 1.
    for (const nominal of [-1, 0]) {
      const strike = strikeNoteOf(bell([800, 1200, 1600], [], nominal), 440, "nominal");
      expect(strike?.method).toBe(VIRTUAL);
      expect(strike?.frequencyHz.value).toBeCloseTo(400, 9);
      expect(strike?.frequencyHz.ci95).toBeCloseTo(0.04, 9);
    }
  });

  test("strikeNoteOf() of a bell with a nominal of 798 Hz is 399 Hz", () => {
    // Keltek Trust, Sound of Bells (read).
    const strike = strikeNoteOf(bell(d5(399), [], NOMINAL), 440, "nominal");
    expect(strike?.frequencyHz.value).toBeCloseTo(399, 6);
    expect(strike?.note).toBe("G4");
  });

  test("strikeNoteOf() is half the named nominal for nominals of 250 to 2000 Hz, whatever the octave of the model", () => {
    for (const prime of [125, 180, 293.7, 420, 600, 810, 990]) {
      const strike = strikeNoteOf(bell(d5(prime), [], NOMINAL), 440, "nominal");
      expect([VIRTUAL, HALF_NOMINAL]).toContain(strike?.method);
      // Within what another rim partial's subharmonic may be off: 50 cents.
      expect(Math.abs(1200 * Math.log2((strike?.frequencyHz.value ?? 0) / prime))).toBeLessThanOrEqual(50);
    }
  });

  test("strikeNoteOf() of a bare named nominal takes its half by rule and shows the nominal as well", () => {
    const strike = strikeNoteOf(bell([800], [], 0), 440, "nominal");
    expect(strike?.method).toBe(HALF_NOMINAL);
    expect(strike?.frequencyHz.value).toBe(400);
    expect(strike?.candidates.map((c) => c.frequencyHz.value)).toContain(800);
  });

  test("strikeNoteOf() of a small bell is the dominant spectral pitch, for a nominal above 2000 Hz", () => {
    const strike = strikeNoteOf(bell(d5(1400), [], NOMINAL), 440, "nominal");
    expect(strike?.method).toBe(SPECTRAL);
    // Its hum, the lowest strong partial.
    expect(strike?.frequencyHz.value).toBeCloseTo(700, 6);
  });

  test("strikeNoteOf() of an unnamed small bell hears its wide low pair as one tone between the two", () => {
    // Lines and levels as in an open recording of a small bell, rounded.
    const strike = strikeNoteOf(
      bell([1309, 1344, 3555, 3615, 3621, 6738], [0, -3, -30, -8, -9, -20]),
      440,
      "nominal",
    );
    expect(strike?.method).toBe(SPECTRAL);
    expect(strike?.frequencyHz.value).toBeGreaterThan(1309);
    expect(strike?.frequencyHz.value).toBeLessThan(1344);
    expect(strike?.note).toBe("E6");
  });

  test("strikeNoteOf() shows both octaves where the model cannot tell them apart", () => {
    // Just bell, prime 400 Hz: Terhardt's model gives 200 Hz 1.729 and 400 Hz 1.194 (check value of its formulas).
    const just = [0.5, 1, 1.2, 1.5, 2, 3, 4].map((ratio) => 400 * ratio);
    const strike = strikeNoteOf(bell(just), 440, "nominal");
    const virtual = strike?.candidates.filter((candidate) => candidate.method === VIRTUAL);
    expect(virtual?.map((candidate) => Math.round(candidate.frequencyHz.value))).toEqual([200, 400]);
    expect(strike?.confidence).toBeLessThan(0.75);
  });

  test("strikeNoteOf() of a tubular bell is an octave below its fourth mode, where that is named", () => {
    // Modes 4, 5, 6 at 81 : 121 : 169, near 2 : 3 : 4 (encyclopaedia article after Rossing, read).
    const tube = bell([81, 121, 169].map((ratio) => 8 * ratio));
    tube[0].name = "mode 4";
    tube[0].nameConfidence = 0.95;
    const strike = strikeNoteOf(tube, 440, "mode 4");
    expect([VIRTUAL, halfOf("mode 4")]).toContain(strike?.method);
    // The subharmonics 81/2, 121/3 and 169/4 lie within 74 cents, one of the first two is taken: within 7.
    expect(Math.abs(1200 * Math.log2((strike?.frequencyHz.value ?? 0) / (8 * 40.5)))).toBeLessThan(7);
    expect(strikeNoteOf(tube, 440, null)?.candidates.every((c) => c.method !== halfOf("mode 4"))).toBe(true);
  });

  test("strikeNoteOf() lists candidates heaviest first, weights up to 1, the chosen among them", () => {
    for (const prime of [150, 293.7, 600, 1400]) {
      for (const nominal of [-1, NOMINAL]) {
        const strike = strikeNoteOf(bell(d5(prime), [], nominal), 440, "nominal");
        const weights = strike?.candidates.map((candidate) => candidate.weight) ?? [];
        expect(weights[0]).toBe(1);
        expect(weights).toEqual([...weights].sort((a, b) => b - a));
        expect(strike?.candidates.some((c) => c.frequencyHz.value === strike.frequencyHz.value)).toBe(true);
        expect(strike?.confidence).toBeGreaterThan(0);
        expect(strike?.confidence).toBeLessThanOrEqual(1);
      }
    }
  });

  test("strikeNoteOf() depends on relative levels only, and follows A4", () => {
    const quiet = bell(d5(293.7), Array(12).fill(-60), NOMINAL);
    expect(strikeNoteOf(quiet, 440, "nominal")?.frequencyHz).toEqual(
      strikeNoteOf(bell(d5(293.7), [], NOMINAL), 440, "nominal")?.frequencyHz,
    );
    expect(strikeNoteOf(quiet, 415, "nominal")?.note).toBe("D#4");
  });

  const lines = (...partials: [hertz: number, hertzCi95: number, db: number, dbCi95: number][]) =>
    partials.map(([hertz, hertzCi95, db, dbCi95]) => ({
      ...{ name: null, nameConfidence: null },
      ...{ frequencyHz: { value: hertz, ci95: hertzCi95 }, levelDb: { value: db, ci95: dbCi95 } },
    }));

  test("strikeNoteOf() hears lines within 50 cents of the lowest as one, in any order, at the centre of their power", () => {
    // Of 0 and -10 dB ten elevenths and one: 1000 + 20/11, and the weaker lies 200/11 away from that.
    for (const order of [
      lines([1000, 0.1, 0, 0.3], [1020, 0.1, -10, 0.3]),
      lines([1020, 0.1, -10, 0.3], [1000, 0.1, 0, 0.3]),
    ]) {
      const strike = strikeNoteOf(order, 440, null);
      expect(strike?.candidates).toHaveLength(1);
      expect(strike?.frequencyHz.value).toBeCloseTo(1000 + 20 / 11, 9);
      expect(strike?.frequencyHz.ci95).toBeCloseTo(200 / 11, 9);
    }
    // 1025 lies 43 cents over 1000; 1045 lies 33 over 1025 and 76 over 1000: a tone of its own, and as loud as this the only one heard.
    const chain = strikeNoteOf(bell([1000, 1025, 1045], [0, 0, 30]), 440, null);
    expect(chain?.frequencyHz).toEqual({ value: 1045, ci95: 1e-4 * 1045 });
  });

  test("strikeNoteOf() of a pair less sure than it is wide has the interval of the centre of its power, by hand", () => {
    const strike = strikeNoteOf(lines([1000, 30, 0, 5], [1020, 30, -10, 5]), 440, null);
    // Each share times the error of its frequency; share times distance from the centre times ln(10)/10 times that of its level.
    const level = (share: number, away: number) => share * away * (Math.LN10 / 10) * 5;
    const terms = [(30 * 10) / 11, 30 / 11, level(10 / 11, -20 / 11), level(1 / 11, 200 / 11)];
    expect(strike?.frequencyHz.ci95).toBeCloseTo(Math.hypot(...terms), 9);
  });

  test("strikeNoteOf() takes the strongest to be at 70 dB: a partial 65 dB below, at 200 Hz, is not heard", () => {
    // The threshold in quiet is 13 dB there (check value of the model's formula).
    const strike = strikeNoteOf(bell([3000, 200], [0, -65]), 440, null);
    expect(strike?.candidates.map(({ frequencyHz }) => frequencyHz.value)).toEqual([3000]);
  });

  test("strikeNoteOf() weighs half a bare nominal by its name's confidence and the fade of virtual pitch, by hand", () => {
    const weights = (hertz: number, nameConfidence: number) => {
      const [partial] = bell([hertz], [], 0);
      const strike = strikeNoteOf([{ ...partial, nameConfidence }], 440, "nominal");
      return { strike, byMethod: new Map(strike?.candidates.map(({ method, weight }) => [method, weight])) };
    };
    // A spectral pitch counts half of its weight, as does half of the nominal: 0.95 of it is left.
    const sure = weights(800, 0.95);
    expect(sure.byMethod.get(SPECTRAL)).toBe(1);
    expect(sure.byMethod.get(HALF_NOMINAL)).toBeCloseTo(0.95, 12);
    // Its weight doubled but for 5 %, against the nominal's own: 1.95 x 0.95 to 1, at every level alike.
    expect(sure.strike?.confidence).toBeCloseTo((1.95 * 0.95) / (1.95 * 0.95 + 1), 12);
    // Between 1500 and 2667 Hz virtual pitch fades linearly in the logarithm.
    const fade = Math.log(2667 / 1900) / Math.log(2667 / 1500);
    expect(weights(1900, 0.95).byMethod.get(HALF_NOMINAL)).toBeCloseTo(0.95 * fade, 12);
    expect(weights(1900, 0.5).byMethod.get(HALF_NOMINAL)).toBeCloseTo(0.5 * fade, 12);
    expect(weights(3000, 0.95).byMethod.has(HALF_NOMINAL)).toBe(false);
  });

  test("strikeNoteOf() lets a nominal settle the octave from a confidence of a half on, while virtual pitch holds", () => {
    const methodOf = (hertz: number, nameConfidence: number) =>
      strikeNoteOf([{ ...bell([hertz], [], 0)[0], nameConfidence }], 440, "nominal")?.method;
    expect(methodOf(800, 0.5)).toBe(HALF_NOMINAL);
    expect(methodOf(800, 0.49)).toBe(SPECTRAL);
    // The fade is a half at the middle of 1500 and 2667 Hz in the logarithm, 2000.1 Hz.
    expect(methodOf(1990, 0.95)).toBe(HALF_NOMINAL);
    expect(methodOf(2010, 0.95)).toBe(SPECTRAL);
  });

  test("strikeNoteOf() of a nominal with nothing above it hears the virtual pitch of all its partials", () => {
    const strike = strikeNoteOf(bell([400, 800], [], 1), 440, "nominal");
    expect(strike?.method).toBe(VIRTUAL);
    expect(strike?.frequencyHz.value).toBe(400);
  });

  test("strikeNoteOf() lists two pitches of each method at the most, none under a tenth of the heaviest", () => {
    for (const prime of [150, 293.7, 600, 990]) {
      const { candidates } = strikeNoteOf(bell(d5(prime), [], NOMINAL), 440, "nominal")!;
      for (const method of [SPECTRAL, VIRTUAL]) {
        expect(candidates.filter((candidate) => candidate.method === method)).toHaveLength(2);
      }
    }
    // A partial at 3 kHz sinks into the masking of one at 1 kHz: it is listed while it counts, then no more.
    const listed = Array.from({ length: 60 }, (_, i) => {
      const { candidates } = strikeNoteOf(bell([1000, 3000], [0, -50 - i / 2]), 440, null)!;
      for (const { weight } of candidates) expect(weight).toBeGreaterThanOrEqual(0.1);
      return candidates.length;
    });
    expect(listed[0]).toBeGreaterThan(1);
    expect(listed.at(-1)).toBe(1);
  });
});
