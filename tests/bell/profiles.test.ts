import { describe, expect, test } from "vitest";
import { DEFAULT_PROFILE_ID, expectedPartials, profileById, profileIds } from "../../src/bell/profiles.ts";
import { fitRimLaw } from "../../src/bell/rim-law.ts";

const ratiosOf = (id: string) => profileById(id).partials.map((partial) => partial.ratio);

describe("profileIds(), profileById(id)", () => {
  test("profileById(unknown) is refused in a sentence that lists the known", () => {
    for (const id of ["", "church", "constructor", "__proto__"]) {
      expect(() => profileById(id)).toThrow(/is not known; choose one of minor-third, major-third, handbell/);
    }
  });

  test("profileIds() begins with the default and holds the six kinds", () => {
    expect(profileIds()).toEqual([
      DEFAULT_PROFILE_ID,
      ...["major-third", "handbell", "tubular", "free-bar", "thin-ring"],
    ]);
  });

  test("profileById() gives every partial a source and the profile a note", () => {
    for (const id of profileIds()) {
      const profile = profileById(id);
      expect(profile.id).toBe(id);
      expect(profile.note.length).toBeGreaterThan(40);
      for (const partial of profile.partials) expect(partial.source.length).toBeGreaterThan(20);
    }
  });

  test("profileById(minor-third) has the just ratios 0.5 : 1 : 1.2 : 1.5 : 2 : 3 : 4 and the D5 bell's shapes", () => {
    // Fletcher & Rossing, Physics of Musical Instruments, 2nd ed., Table 21.1 (from memory).
    const { partials } = profileById("minor-third");
    const at = (name: string) => partials.find((partial) => partial.name === name);
    const named = ["hum", "prime", "tierce", "quint", "nominal", "superquint", "octave nominal"];
    expect(named.map((name) => at(name)?.ratio)).toEqual([0.5, 1, 1.2, 1.5, 2, 3, 4]);
    expect(named.map((name) => at(name)?.nodalMeridians)).toEqual([2, 2, 3, 3, 4, 5, 6]);
    expect(at("undeciem")).toMatchObject({ nodalMeridians: 2, nodalCircles: 2 });
  });

  test("profileById(minor-third) starts its rim law between the two published bells", () => {
    // Least-squares fits to the D5 bell (b -0.920, p 1.468) and the Albert Clock bell (b -0.844, p 1.468).
    const law = profileById("minor-third").rimLaw;
    expect(law?.b).toBeCloseTo((-0.92 - 0.844) / 2, 2);
    expect(law?.p).toBe(1.468);
  });

  test("profileById(major-third) differs in the tierce: 0.5 : 1 : 1.25 : 1.5 : 2", () => {
    // Schoofs, van Asperen, Maas & Lehr, Music Perception 4 (1987) 245-254 (from memory).
    expect(ratiosOf("major-third").slice(0, 5)).toEqual([0.5, 1, 1.25, 1.5, 2]);
  });

  test("profileById(handbell) tunes the twelfth to three times the fundamental", () => {
    // Rossing & Perrin, Applied Acoustics 20 (1987) 41-70.
    const { partials } = profileById("handbell");
    expect(partials.find((partial) => partial.name === "twelfth")).toMatchObject({
      ratio: 3,
      nodalMeridians: 3,
    });
    expect(partials[0]).toMatchObject({ name: "fundamental", ratio: 1, nodalMeridians: 2 });
  });

  test("profileById(free-bar) is (x_n / x_1)^2 with cos x cosh x = 1", () => {
    const root = (n: number) => {
      let x = ((2 * n + 1) * Math.PI) / 2;
      for (let step = 0; step < 20; step++) {
        const slope = -Math.sin(x) + Math.tanh(x) / Math.cosh(x);
        x -= (Math.cos(x) - 1 / Math.cosh(x)) / slope;
      }
      return x;
    };
    // beta L of any vibration text: 4.7300 7.8532 10.9956 14.1372.
    [4.73, 7.8532, 10.9956, 14.1372].forEach((x, i) => {
      expect(root(i + 1)).toBeCloseTo(x, 4);
    });
    // The data files are rounded at the fourth decimal.
    ratiosOf("free-bar").forEach((ratio, i) => {
      expect(Math.abs(ratio - (root(i + 1) / root(1)) ** 2)).toBeLessThanOrEqual(0.000051);
    });
    ratiosOf("tubular").forEach((ratio, i) => {
      expect(Math.abs(ratio - 2 * (root(i + 1) / root(4)) ** 2)).toBeLessThanOrEqual(0.000051);
    });
  });

  test("profileById(tubular) has its modes 4, 5, 6 at 81 : 121 : 169 within a cent", () => {
    const ratios = ratiosOf("tubular");
    // (2n + 1)^2 is the free bar's limit; from mode 4 on they differ by less than 1e-5.
    expect(ratios[4] / ratios[3]).toBeCloseTo(121 / 81, 3);
    expect(ratios[5] / ratios[3]).toBeCloseTo(169 / 81, 3);
  });

  test("profileById(thin-ring) is n (n^2 - 1) / sqrt(n^2 + 1) over its value at n = 2", () => {
    // Hoppe 1871; Rayleigh, Theory of Sound, § 233.
    const bending = (n: number) => (n * (n ** 2 - 1)) / Math.sqrt(n ** 2 + 1);
    profileById("thin-ring").partials.forEach(({ ratio, nodalMeridians }, i) => {
      expect(nodalMeridians).toBe(i + 2);
      expect(Math.abs(ratio - bending(i + 2) / bending(2))).toBeLessThanOrEqual(0.000051);
    });
  });

  test("profileById(thin-ring) follows the rim law within 5 cents, so that the law holds for rings too", () => {
    const points = profileById("thin-ring").partials.map((partial) => ({
      nodalMeridians: partial.nodalMeridians as number,
      frequencyHz: partial.ratio,
    }));
    expect(fitRimLaw(points)?.rmsCents).toBeLessThan(5);
  });
});

describe("expectedPartials(profile)", () => {
  test("expectedPartials() carries names, ratios, meridians and presence, ascending", () => {
    const expected = expectedPartials(profileById("minor-third"));
    expect(expected[0]).toEqual({ name: "hum", idealRatio: 0.5, nodalMeridians: 2, presence: 0.9 });
    expect(expected).toHaveLength(12);
  });
});
