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
  test("namePartials() takes back the name of a rim partial that lies 60 cents off the law of the others", () => {
    const off = namePartials(partialsAt(d5With("superquint", 60)), CHURCH, {});
    expect(off.partials[at("superquint")]).toMatchObject({ name: null, confidence: 0, nodalMeridians: null });
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
