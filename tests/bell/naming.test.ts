import { describe, expect, test } from "vitest";
import { NAME_CONFIDENCE, namePartials } from "../../src/bell/naming.ts";
import { parseProfile } from "../../src/bell/parse-profile.ts";
import { profileById } from "../../src/bell/profiles.ts";
import {
  ALBERT_CLOCK_BELL,
  ALUMINIUM_BAR,
  D5_BELL,
  HANDBELL_HZ,
  partialsAt,
  SINGING_BOWLS_HZ,
} from "./measured-bells.ts";

const CHURCH = profileById("minor-third");
const namesOf = (hertz: number[], profile = CHURCH, pins = {}) =>
  namePartials(partialsAt(hertz), profile, pins).partials.map((partial) => partial.name);
const d5Hz = D5_BELL.map(([, ratio]) => 293.7 * ratio);

describe("namePartials(partials, profile, pins): what it refuses and where it says nothing", () => {
  test.each([Number.NaN, 0, -5, Number.POSITIVE_INFINITY])("namePartials([%s Hz]) is refused", (hertz) => {
    expect(() => namePartials(partialsAt([400, hertz]), CHURCH, {})).toThrow(
      /partial 2 has the frequency .* Hz; it must be a number above 0/,
    );
  });

  test("namePartials([]) has no partials, no reference and no law", () => {
    expect(namePartials([], CHURCH, {})).toEqual({
      partials: [],
      reference: null,
      rimLaw: null,
      isOfKind: 0,
      logEvidence: 0,
      warnings: [],
    });
  });

  test("namePartials() of one or two partials names none and takes ratios to the lowest", () => {
    for (const hertz of [[400], [800, 400]]) {
      const bell = namePartials(partialsAt(hertz), CHURCH, {});
      expect(bell.partials.map((partial) => partial.name)).toEqual(hertz.map(() => null));
      expect(bell.reference).toEqual({ name: null, partial: hertz.length - 1, ratio: 1 });
      expect(bell.partials[0].ratio.value).toBe(hertz[0] / 400);
      expect(bell.partials[0]).toMatchObject({
        idealRatio: null,
        deviationCents: null,
        nodalMeridians: null,
      });
    }
  });

  test("namePartials() of three octaves names none: hum, prime and nominal fit as well as prime, nominal and octave nominal", () => {
    expect(namesOf([200, 400, 800])).toEqual([null, null, null]);
  });

  test("namePartials() does not read a small bell of three pairs as a tuned church bell", () => {
    // Lines of a real small bell in an open recording, measured apart from this code: 1 : 2.76 : 5.15.
    expect(namesOf([1309.2, 1343.6, 3615.3, 3620.9, 6738.4, 6748.6])).toEqual(Array(6).fill(null));
  });

  test("namePartials() takes levels and decay times that are not known", () => {
    const partials = partialsAt(d5Hz).map((p) => ({ ...p, levelDb: Number.NEGATIVE_INFINITY }));
    for (const { confidence } of namePartials(partials, CHURCH, {}).partials) {
      expect(confidence).toBeGreaterThanOrEqual(0);
      expect(confidence).toBeLessThanOrEqual(1);
    }
  });
});

describe("namePartials(partials, profile, pins): published bells", () => {
  test("namePartials(D5 church bell) names all twelve, each with its meridians and the published cents", () => {
    const { partials, reference } = namePartials(partialsAt(d5Hz), CHURCH, {});
    expect(partials.map((partial) => partial.name)).toEqual(D5_BELL.map(([name]) => name));
    expect(partials.map((partial) => partial.nodalMeridians)).toEqual(D5_BELL.map(([, , m]) => m));
    expect(reference).toEqual({ name: "nominal", partial: 4, ratio: 2 });
    const centsOf = (name: string) => partials.find((p) => p.name === name)?.deviationCents?.value;
    // Against the just ratios, computed apart from this code, one decimal.
    expect(centsOf("tierce")).toBeCloseTo(-24.7, 1);
    expect(centsOf("quint")).toBeCloseTo(6.9, 1);
    expect(centsOf("superquint")).toBeCloseTo(6.3, 1);
    expect(centsOf("octave nominal")).toBeCloseTo(70.4, 1);
  });

  test("namePartials(D5 church bell) fits its rim law: b -0.920, p 1.468, 3.2 cents", () => {
    const { rimLaw } = namePartials(partialsAt(d5Hz), CHURCH, {});
    expect(rimLaw?.partials).toEqual([4, 7, 8, 9, 10, 11]);
    expect(rimLaw?.b).toBeCloseTo(-0.92, 3);
    expect(rimLaw?.p).toBeCloseTo(1.468, 3);
    expect(rimLaw?.rmsCents).toBeCloseTo(3.2, 1);
  });

  test("namePartials(D5 church bell) does not depend on the order or the pitch, nor on hum and prime being there", () => {
    const backwards = [...d5Hz].reverse().map((f) => 3.7 * f);
    expect(namesOf(backwards)).toEqual(D5_BELL.map(([name]) => name).reverse());
    expect(namesOf(d5Hz.slice(2))).toEqual(D5_BELL.slice(2).map(([name]) => name));
  });

  test("namePartials(Albert Clock bell) names an untuned bell with missing and extra partials, none wrongly", () => {
    const hertz = ALBERT_CLOCK_BELL.map(([, ratio]) => 450 * ratio);
    const { partials, rimLaw } = namePartials(partialsAt(hertz), CHURCH, {});
    partials.forEach(({ name }, i) => {
      // The quint, 7 % sharp and without a prime below it, may be too doubtful to name.
      if (name !== null || ALBERT_CLOCK_BELL[i][0] !== "quint") expect(name).toBe(ALBERT_CLOCK_BELL[i][0]);
    });
    // Two rim partials beyond the profile are counted by the bell's own law.
    expect(partials.slice(-2).map((partial) => partial.nodalMeridians)).toEqual([10, 11]);
    expect(rimLaw?.partials).toHaveLength(8);
    // Fit to the source's doublets, one member each: p 1.468, 7.9 cents; the means used here move p by 0.005.
    expect(rimLaw?.p).toBeCloseTo(1.468, 1);
    expect(rimLaw?.rmsCents).toBeLessThan(10);
  });

  test("namePartials(small handbell) finds the fundamental and the twelfth 3 times above, 2.9895 here", () => {
    const { partials } = namePartials(partialsAt(HANDBELL_HZ), profileById("handbell"), {});
    expect(partials[0].name).toBe("fundamental");
    expect(partials[3].name).toBe("twelfth");
    expect(partials[3].ratio.value).toBeCloseTo(3926 / 1313.25, 9);
  });

  test.each(SINGING_BOWLS_HZ)(
    "namePartials(singing bowl from %d Hz) counts its meridians from 2 as a thin ring",
    (...hertz) => {
      const { partials } = namePartials(partialsAt(hertz), profileById("thin-ring"), {}, true);
      partials.forEach(({ name, nodalMeridians }, i) => {
        if (name !== null) expect(name).toBe(`mode ${i + 2}`);
        if (nodalMeridians !== null) expect(nodalMeridians).toBe(i + 2);
      });
      expect(partials.slice(0, 4).every((partial) => partial.name !== null)).toBe(true);
    },
  );

  test("namePartials(aluminium bar) numbers all six modes of a free bar", () => {
    const hertz = ALUMINIUM_BAR.map((ratio) => 312 * ratio);
    expect(namesOf(hertz, profileById("free-bar"))).toEqual(ALUMINIUM_BAR.map((_, i) => `mode ${i + 1}`));
  });
});

describe("namePartials(partials, profile, pins): ratios, pairs and pins", () => {
  test("namePartials() gives the five-point example: hum 215 Hz under a nominal of 800 Hz is 125.20 cents sharp", () => {
    // Keltek Trust, Sound of Bells, pages on five-point tuning (read): "125 cents".
    const { partials } = namePartials(partialsAt([215, 400, 480, 600, 800]), CHURCH, {}, true);
    expect(partials[0].name).toBe("hum");
    expect(partials[0].deviationCents?.value).toBeCloseTo(125.2, 2);
  });

  test("namePartials() carries both intervals into a ratio, and none into the reference's own", () => {
    const bell = partialsAt([200, 400, 480, 600, 800]).map((p) => ({
      ...p,
      frequencyHz: { ...p.frequencyHz, ci95: 0.001 * p.frequencyHz.value },
    }));
    const { partials } = namePartials(bell, CHURCH, {});
    expect(partials[4].ratio).toEqual({ value: 2, ci95: 0 });
    expect(partials[0].ratio.ci95).toBeCloseTo(0.5 * 0.001 * Math.SQRT2, 12);
    expect(partials[0].deviationCents?.ci95).toBeCloseTo((1200 / Math.LN2) * 0.001 * Math.SQRT2, 9);
  });

  test("namePartials() without the nominal measures from the prime, without both from the hum", () => {
    const without = (...gone: number[]) =>
      [200, 400, 480, 600, 800, 1200, 1600, 2133].filter((f) => !gone.includes(f));
    const reference = (hertz: number[]) => namePartials(partialsAt(hertz), CHURCH, {}).reference;
    expect(reference(without(800))).toEqual({ name: "prime", partial: 1, ratio: 1 });
    expect(reference(without(800, 400))).toEqual({ name: "hum", partial: 0, ratio: 0.5 });
  });

  test("namePartials() gives a wide pair one name, the stronger's", () => {
    const bell = partialsAt([200, 400, 405, 480, 600, 800, 1200]);
    bell[2].levelDb = -4;
    const { partials } = namePartials(bell, CHURCH, {});
    expect(partials[1].name).toBeNull();
    expect(partials[2].name).toBe("prime");
  });

  test("namePartials() names a bell of eight partials under a rumble 25 dB over them that rings for ever", () => {
    const bell = partialsAt([48, 200, 401, 478, 601, 800, 1205, 1650, 2200]).map((p, i) => ({
      ...p,
      levelDb: i === 0 ? 0 : -25,
      decayTimeS: i === 0 ? 600 : 10 / i,
    }));
    const names = namePartials(bell, CHURCH, {}).partials.map(({ name }) => name);
    expect(names.slice(0, 6)).toEqual([null, "hum", "prime", "tierce", "quint", "nominal"]);
  });

  test("namePartials() takes hum, prime and tierce of a small bell whose hum stands 24 dB over all for likelier than not", () => {
    // A treble of a carillon is heard up to little more than its tierce.
    const bell = partialsAt([2500, 5010, 6020]).map((p, i) => ({
      ...p,
      levelDb: [0, -24, -27][i]!,
      decayTimeS: [3, 1.6, 1.5][i]!,
    }));
    const { partials } = namePartials(bell, CHURCH, {});
    expect(partials.map(({ likeliest }) => likeliest)).toEqual(["hum", "prime", "tierce"]);
    for (const { confidence } of partials) expect(confidence).toBeGreaterThan(0.5);
    // Two tones an octave apart are no bell.
    expect(namePartials(bell.slice(0, 2), CHURCH, {}).partials.map(({ name }) => name)).toEqual([null, null]);
  });

  test("namePartials() obeys a pin against the odds, with confidence 1", () => {
    const plain = namePartials(partialsAt([200, 400, 480, 600, 800]), CHURCH, {});
    expect(plain.partials[1].name).toBe("prime");
    const pinned = namePartials(partialsAt([200, 400, 480, 600, 800]), CHURCH, { hum: 401 });
    expect(pinned.partials[1]).toMatchObject({ name: "hum", confidence: 1 });
    expect(pinned.partials[0].name).toBeNull();
  });

  test("namePartials() names a single partial when it is pinned", () => {
    const { partials, reference } = namePartials(partialsAt([400]), CHURCH, { nominal: 400 });
    expect(partials[0]).toMatchObject({ name: "nominal", confidence: 1, nodalMeridians: 4 });
    expect(reference).toEqual({ name: "nominal", partial: 0, ratio: 2 });
  });

  test("namePartials() with one right pin is at least as sure of the others", () => {
    const hertz = [110, 224, 242, 331, 400, 590];
    const plain = namePartials(partialsAt(hertz), CHURCH, {});
    const pinned = namePartials(partialsAt(hertz), CHURCH, { nominal: 400 });
    expect(pinned.partials[0].confidence).toBeGreaterThan(plain.partials[0].confidence);
    expect(pinned.partials[0].name).toBe("hum");
  });

  test("namePartials() warns of a pin that meets nothing and names the rest", () => {
    const { partials, warnings } = namePartials(partialsAt(d5Hz), CHURCH, { prime: 315 });
    expect(warnings).toEqual([
      "pin prime=315 was left out: no partial was measured within 50 cents of it, the nearest is at 293.7 Hz.",
    ]);
    expect(partials[1].name).toBe("prime");
  });

  test("namePartials() never gives a name below its stated confidence", () => {
    for (const { name, confidence } of namePartials(
      partialsAt(d5Hz.map((f, i) => f * (1 + 0.04 * (-1) ** i))),
      CHURCH,
      {},
    ).partials) {
      if (name !== null) expect(confidence).toBeGreaterThanOrEqual(NAME_CONFIDENCE);
    }
  });

  test("namePartials() works with a user's own profile of two partials", () => {
    const own = parseProfile({
      schema: "ringwright.profile/1",
      id: "own",
      partials: [
        { name: "low", ratio: 1, spread: 0.02 },
        { name: "high", ratio: 2.7, spread: 0.02 },
      ],
    });
    const { partials } = namePartials(partialsAt([500, 1350, 2100]), own, { low: 500 });
    expect(partials[0].name).toBe("low");
    expect(partials[1].confidence).toBeGreaterThan(0.5);
  });
});
