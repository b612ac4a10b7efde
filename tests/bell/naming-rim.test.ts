import { describe, expect, test } from "vitest";
import { namePartials } from "../../src/bell/naming.ts";
import { parseProfile } from "../../src/bell/parse-profile.ts";
import { profileById } from "../../src/bell/profiles.ts";
import { ALBERT_CLOCK_BELL, D5_BELL, partialsAt } from "./measured-bells.ts";

const CHURCH = profileById("minor-third");
/** The D5 bell with one partial moved by so many cents; its rim partials follow their law within 3 cents. */
const d5With = (name: string, cents: number) =>
  D5_BELL.map(([own, ratio]) => 293.7 * ratio * (own === name ? 2 ** (cents / 1200) : 1));
const at = (name: string) => D5_BELL.findIndex(([own]) => own === name);

describe("namePartials(partials, profile, pins): the rim law", () => {
  test("namePartials() gives no name to a rim partial that lies 60 cents off the law of the others", () => {
    const off = namePartials(partialsAt(d5With("superquint", 60)), CHURCH, {});
    expect(off.partials[at("superquint")]).toMatchObject({ name: null, nodalMeridians: null });
    // The others keep theirs, and the law is theirs alone.
    const others = D5_BELL.map(([name]) => name).filter((name) => name !== "superquint");
    expect(off.partials.flatMap(({ name }) => name ?? [])).toEqual(others);
    expect(off.rimLaw?.partials).not.toContain(at("superquint"));
    expect(off.rimLaw?.rmsCents).toBeLessThan(5);
  });

  test("namePartials() leaves a pinned rim partial its name, however far off the law", () => {
    const hertz = d5With("superquint", 60);
    const bell = namePartials(partialsAt(hertz), CHURCH, { superquint: hertz[at("superquint")] });
    expect(bell.partials[at("superquint")]).toMatchObject({ name: "superquint", confidence: 1 });
  });

  test("namePartials() gives the name to the partial that the law predicts when another had it", () => {
    // The moved one and, beside it, one on the law: whichever the ratios favour, the law is for the second.
    const law = 293.7 * D5_BELL[at("octave nominal")][1];
    const bell = namePartials(partialsAt([...d5With("octave nominal", 90), law]), CHURCH, {});
    expect(bell.partials[D5_BELL.length]).toMatchObject({ name: "octave nominal", nodalMeridians: 6 });
    expect(bell.partials[at("octave nominal")].name).toBeNull();
  });

  test("namePartials() counts the meridians of rim partials beyond the profile, without a name", () => {
    // Rim partials of the Albert Clock bell to m = 11; the profile's names end at m = 9.
    const bell = namePartials(partialsAt(ALBERT_CLOCK_BELL.map(([, ratio]) => 500 * ratio)), CHURCH, {});
    expect(bell.partials.slice(-2).map(({ name, nodalMeridians }) => [name, nodalMeridians])).toEqual([
      [null, 10],
      [null, 11],
    ]);
    expect(bell.rimLaw?.partials).toContain(ALBERT_CLOCK_BELL.length - 1);
  });
});

describe("namePartials(partials, profile, pins): references and leaders", () => {
  test("namePartials() of nothing sure measures from the lowest, wherever it stands in the list", () => {
    for (const hertz of [
      [400, 431],
      [431, 400],
    ]) {
      const bell = namePartials(partialsAt(hertz), CHURCH, {});
      expect(bell.reference).toEqual({ name: null, partial: hertz.indexOf(400), ratio: 1 });
    }
  });

  test("namePartials() without any named reference measures from the surest name", () => {
    const own = parseProfile({
      ...{ schema: "ringwright.profile/1", id: "own", reference: "deep" },
      partials: [
        { name: "deep", ratio: 1 },
        { name: "middle", ratio: 2 },
        { name: "high", ratio: 3.3 },
      ],
    });
    const bell = namePartials(partialsAt([700, 1155]), own, { middle: 700 });
    // Two partials are named by pins alone.
    expect(bell.reference).toEqual({ name: "middle", partial: 0, ratio: 2 });
    const high = namePartials(partialsAt([700, 1155]), own, { high: 1155 });
    expect(high.reference).toEqual({ name: "high", partial: 1, ratio: 3.3 });
  });

  test("namePartials() pins the weaker of a wide pair as well as the stronger, and the forty-first partial", () => {
    const pair = namePartials(
      partialsAt([800, 810]).map((partial, i) => ({ ...partial, levelDb: i === 0 ? 0 : -30 })),
      CHURCH,
      { nominal: 810 },
    );
    expect(pair.partials.map(({ name }) => name)).toEqual([null, "nominal"]);
    const many = Array.from({ length: 60 }, (_, i) => 300 * 1.05 ** i);
    const weak = partialsAt(many).map((partial, i) => ({ ...partial, levelDb: i === 59 ? -60 : 0 }));
    expect(namePartials(weak, CHURCH, { "triple octave": many[59] }).partials[59]).toMatchObject({
      name: "triple octave",
      confidence: 1,
    });
  });
});

describe("namePartials(partials, profile, pins): names by the rim law", () => {
  const d5 = D5_BELL.map(([, ratio]) => 293.7 * ratio);

  test.each(["octave nominal", "upper fourth", "upper sixth"])(
    "namePartials() names, of two partials that the ratios cannot choose between, the one on the law: %s",
    (name) => {
      // 60 cents under it, which for the octave nominal is the likelier by the ratio alone.
      const beside = d5[at(name)] * 2 ** (-60 / 1200);
      const { partials, rimLaw } = namePartials(partialsAt([...d5, beside]), CHURCH, {});
      expect(partials[at(name)].nodalMeridians).toBe(D5_BELL[at(name)][2]);
      expect(partials[at(name)].confidence).toBeGreaterThanOrEqual(0.85);
      expect(rimLaw?.partials).toContain(at(name));
      // The undeciem, close by the deciem, may be too doubtful among so many.
      partials.forEach((partial, i) => {
        const own = D5_BELL[i]?.[0] ?? null;
        if (partial.name !== null || own !== "undeciem") expect(partial.name).toBe(own);
      });
    },
  );

  test("namePartials() counts a rim partial without its name where that would stand above a higher one", () => {
    // A pin says that what lies over the superquint is the deciem, which belongs under it.
    const wrong = d5[at("superquint")] * 1.06;
    const hertz = [...d5.filter((_, i) => D5_BELL[i][0] !== "deciem"), wrong];
    const { partials } = namePartials(partialsAt(hertz), CHURCH, { deciem: wrong });
    expect(partials.at(-1)?.name).toBe("deciem");
    const superquint = partials[hertz.indexOf(d5[at("superquint")])];
    expect([superquint.name, superquint.nodalMeridians]).toEqual([null, 5]);
  });

  test("namePartials() counts beyond the profile what meets the law, not what a stray may be", () => {
    const { rimLaw } = namePartials(partialsAt(d5), CHURCH, {});
    const [lowest] = rimLaw!.partials;
    const scale = d5[lowest] / (4 + rimLaw!.b) ** rimLaw!.p;
    const next = scale * (10 + rimLaw!.b) ** rimLaw!.p;
    const meridians = (cents: number) =>
      namePartials(partialsAt([...d5, next * 2 ** (cents / 1200)]), CHURCH, {}).partials.at(-1)
        ?.nodalMeridians;
    expect([meridians(0), meridians(40), meridians(-40)]).toEqual([10, null, null]);
  });
});

describe("namePartials(partials, profile, pins): evidence and doubt", () => {
  test("namePartials() is surer of the partial that should ring longest when it does, less sure when it does not", () => {
    const longest = CHURCH.partials.findIndex(({ name }) => name === CHURCH.longestRing);
    const ratios = CHURCH.partials.slice(0, 5).map(({ ratio }) => ratio);
    const off = ratios.map((ratio, i) => 400 * ratio * 1.03 ** (i === longest ? 1 : 0));
    const confidence = (timeS: number[]) =>
      namePartials(
        partialsAt(off).map((partial, i) => ({ ...partial, decayTimeS: timeS[i] })),
        CHURCH,
        {},
      ).partials[longest].confidence;
    const times = (own: number) => ratios.map((_, i) => (i === longest ? own : 10));
    const unknown = ratios.map(() => Number.NaN);
    expect(confidence(times(20))).toBeGreaterThan(confidence(unknown));
    expect(confidence(times(1))).toBeLessThan(confidence(unknown));
    // One that is not known says nothing against the others.
    const some = times(20);
    some[(longest + 1) % 5] = Number.NaN;
    expect(confidence(some)).toBeCloseTo(confidence(times(20)), 12);
  });

  const own = (reference: string, ...partials: [string, number][]) =>
    parseProfile({
      schema: "ringwright.profile/1",
      id: "own",
      reference,
      partials: partials.map(([name, ratio]) => ({ name, ratio, spread: 0.002 })),
    });

  test("namePartials() names nothing of two partials, however sure it is, and all of three", () => {
    const profile = own("low", ["low", 1], ["high", 2.7], ["top", 4.9]);
    const two = namePartials(partialsAt([500, 1350]), profile, { low: 500 });
    expect(two.partials[1].confidence).toBeGreaterThan(0.85);
    expect(two.partials.map(({ name }) => name)).toEqual(["low", null]);
    const three = namePartials(partialsAt([500, 1350, 2450]), profile, { low: 500 });
    expect(three.partials.map(({ name }) => name)).toEqual(["low", "high", "top"]);
  });

  test("namePartials() without its reference measures from the surest of several names", () => {
    const profile = own("deep", ["deep", 1], ["middle", 2], ["high", 3.3], ["top", 4.7]);
    const bell = namePartials(partialsAt([1000, 1650, 2350]), profile, { high: 1650 });
    expect(bell.partials.map(({ name }) => name)).toEqual(["middle", "high", "top"]);
    expect(bell.partials[0].confidence).toBeLessThan(1);
    expect(bell.reference).toEqual({ name: "high", partial: 1, ratio: 3.3 });
  });

  test("namePartials() pins both of a pair nearer than 50 cents", () => {
    const profile = own("low", ["low", 1], ["close", 1.02], ["high", 2.7]);
    const bell = namePartials(partialsAt([500, 510]), profile, { low: 500, close: 510 });
    expect(bell.partials.map(({ name }) => name)).toEqual(["low", "close"]);
  });

  test("namePartials() takes the stronger of a wide pair from just under 50 cents", () => {
    const prime = (cents: number) => {
      const partials = partialsAt([200, 400, 400 * 2 ** (cents / 1200), 480, 600, 800, 1200]);
      partials[2].levelDb = -30;
      return namePartials(partials, CHURCH, {}).partials[2].confidence;
    };
    // What does not take part is given no probability at all.
    expect(prime(49.9)).toBe(0);
    expect(prime(50.1)).toBeGreaterThan(0);
  });
});
