import { describe, expect, test } from "vitest";
import { parseProfile } from "../../src/bell/parse-profile.ts";

const OWN = {
  schema: "ringwright.profile/1",
  id: "my-bell",
  partials: [
    { name: "low", ratio: 1 },
    { name: "high", ratio: 2.7, alsoCalled: ["top"], nodalMeridians: 3, rim: true },
  ],
};

const withPartials = (...partials: unknown[]) => ({ ...OWN, partials });

describe("parseProfile(json)", () => {
  test.each([
    ["null", null, /the file is not a JSON object/],
    ["a list", [], /the file is not a JSON object/],
    ["a number", Number.NaN, /the file is not a JSON object/],
    ["no schema", { ...OWN, schema: undefined }, /"schema" is missing; it must be "ringwright.profile\/1"/],
    ["another schema", { ...OWN, schema: "x" }, /"schema" is "x"/],
    ["an unknown field", { ...OWN, refrence: "low" }, /unknown field "refrence"; it may have schema, id/],
    ["no id", { ...OWN, id: " " }, /"id" is not a text/],
    [
      "an id with a slash",
      { ...OWN, id: "../x" },
      /the id "..\/x" may hold letters, digits and hyphens only/,
    ],
    ["no partials", { ...OWN, partials: [] }, /"partials" is not a list with at least one partial/],
    ["partials as an object", { ...OWN, partials: {} }, /"partials" is not a list/],
    ["too many partials", withPartials(...Array(41).fill(OWN.partials[0])), /41 entries; at most 40/],
    ["a partial that is text", withPartials("hum"), /partial 1 is not a JSON object/],
    ["a partial without a name", withPartials({ ratio: 1 }), /the name of partial 1 is not a text/],
    [
      "a partial without a ratio",
      withPartials({ name: "a" }),
      /the ratio of "a" is missing; it must be a number/,
    ],
    [
      "a ratio of 0",
      withPartials({ name: "a", ratio: 0 }),
      /the ratio of "a" is 0; it must be a number above 0/,
    ],
    ["a ratio as text", withPartials({ name: "a", ratio: "2" }), /the ratio of "a" is "2"/],
    ["an infinite ratio", withPartials({ name: "a", ratio: Number.POSITIVE_INFINITY }), /the ratio of "a"/],
    [
      "falling ratios",
      withPartials({ name: "a", ratio: 2 }, { name: "b", ratio: 1 }),
      /"b" is not above "a"/,
    ],
    [
      "equal names",
      withPartials({ name: "a", ratio: 1 }, { name: "A", ratio: 2 }),
      /the name "A" is used twice/,
    ],
    [
      "half a meridian",
      withPartials({ name: "a", ratio: 1, nodalMeridians: 2.5 }),
      /nodalMeridians of "a" is 2.5/,
    ],
    [
      "a rim partial without m",
      withPartials({ name: "a", ratio: 1, rim: true }),
      /rim partial without nodalMeridians/,
    ],
    [
      "a rim as text",
      withPartials({ name: "a", ratio: 1, rim: "yes" }),
      /rim of "a" is "yes"; it must be true or false/,
    ],
    ["an unknown status", withPartials({ name: "a", ratio: 1, status: "sure" }), /status of "a" is "sure"/],
    [
      "a spread of 2",
      withPartials({ name: "a", ratio: 1, spread: 2 }),
      /the spread of "a" is 2; .* above 0.0005 and below 1/,
    ],
    [
      "a spread too narrow to look for",
      withPartials({ name: "a", ratio: 1, spread: 3e-323 }),
      /the spread of "a" is 3e-323; .* above 0.0005/,
    ],
    ["a ratio beyond all bells", withPartials({ name: "a", ratio: 1e300 }), /the ratio of "a" is 1e\+300; /],
    [
      "a long text where a number belongs",
      withPartials({ name: "a", ratio: "x".repeat(1000) }),
      /the ratio of "a" is "x{59}\.\.\.; it must be a number/,
    ],
    ["a presence of 1", withPartials({ name: "a", ratio: 1, presence: 1 }), /the presence of "a" is 1/],
    [
      "an unknown reference",
      { ...OWN, reference: "middle" },
      /"reference" names "middle", which is not among/,
    ],
    ["an unknown longest ring", { ...OWN, longestRing: "middle" }, /"longestRing" names "middle"/],
    [
      "a law for one rim partial",
      { ...OWN, rimLaw: { b: -1, p: 1.5 } },
      /fewer than two partials have "rim"/,
    ],
    ["an id with a sign at its end", { ...OWN, id: "my-bell!" }, /the id "my-bell!" may hold/],
    [
      "a ratio below 0",
      withPartials({ name: "a", ratio: -1 }),
      /must be a number above 0.001 and below 1000$/,
    ],
    ["equal ratios", withPartials({ name: "a", ratio: 2 }, { name: "b", ratio: 2 }), /"b" is not above "a"/],
    [
      "meridians below 0",
      withPartials({ name: "a", ratio: 1, nodalMeridians: -1 }),
      /nodalMeridians of "a" is -1/,
    ],
    [
      "circles as text",
      withPartials({ name: "a", ratio: 1, nodalCircles: "1" }),
      /nodalCircles of "a" is "1"/,
    ],
    [
      "other names as text",
      withPartials({ name: "a", ratio: 1, alsoCalled: "b" }),
      /alsoCalled of "a" is not a list of texts/,
    ],
    [
      "another name of nothing",
      withPartials({ name: "a", ratio: 1, alsoCalled: [""] }),
      /alsoCalled of "a" is not a text/,
    ],
    [
      "a source that is none",
      withPartials({ name: "a", ratio: 1, source: 3 }),
      /the source of "a" is not a text/,
    ],
    ["a reference that is a number", { ...OWN, reference: 3 }, /"reference" is not a list of texts/],
    ["a reference of nothing", { ...OWN, reference: [""] }, /"reference" is not a text/],
    ["a title that is a number", { ...OWN, title: 3 }, /"title" is not a text/],
    ["a note that is a number", { ...OWN, note: 3 }, /"note" is not a text/],
    ["a longest ring of nothing", { ...OWN, longestRing: "" }, /"longestRing" is not a text/],
    ["half of a number", { ...OWN, strikeHalfOf: 3 }, /"strikeHalfOf" is not a text/],
    ["half of nothing known", { ...OWN, strikeHalfOf: "x" }, /"strikeHalfOf" names "x"/],
    ["a law that is a number", { ...OWN, rimLaw: 3 }, /"rimLaw" is not a JSON object/],
    [
      "a field unknown to a law",
      { ...OWN, rimLaw: { b: 0, p: 1, q: 2 } },
      /"rimLaw" has the unknown field "q"; it may have b, p, spreadP, source, status$/,
    ],
  ])("parseProfile(%s) is refused in one sentence", (_, json, message) => {
    expect(() => parseProfile(json)).toThrow(message);
    try {
      parseProfile(json);
    } catch (error) {
      expect((error as Error).message).toMatch(/^profile: [^\n]+$/);
    }
  });

  test("parseProfile() of a short profile fills the rest: first partial as reference, nothing known of shapes", () => {
    const profile = parseProfile(OWN);
    expect(profile).toMatchObject({ id: "my-bell", title: "my-bell", reference: ["low"], longestRing: null });
    expect(profile.strikeHalfOf).toBeNull();
    expect(profile.rimLaw).toBeNull();
    expect(profile.partials[0]).toMatchObject({ spread: 0.08, presence: 0.7, rim: false, status: "assumed" });
    expect(profile.partials[0].nodalMeridians).toBeNull();
  });

  test("parseProfile() keeps what is given, names without the spaces around them", () => {
    const given = {
      ...{ name: "low", alsoCalled: ["deep"], ratio: 1, nodalMeridians: 0, nodalCircles: 1, rim: true },
      ...{ spread: 0.1, presence: 0.5, source: "a book", status: "read" },
    };
    const profile = parseProfile({
      ...{ ...OWN, title: "A bell", note: "a note", longestRing: "DEEP", strikeHalfOf: "low" },
      partials: [{ ...given, name: " low " }],
    });
    expect(profile).toMatchObject({
      title: "A bell",
      note: "a note",
      longestRing: "low",
      strikeHalfOf: "low",
    });
    expect(profile.partials).toEqual([given]);
  });

  test("parseProfile() reads forty partials", () => {
    const forty = Array.from({ length: 40 }, (_, i) => ({ name: `p${i}`, ratio: i + 1 }));
    expect(parseProfile(withPartials(...forty)).partials).toHaveLength(40);
  });

  test("parseProfile() takes a reference by another name of the partial, one or several", () => {
    expect(parseProfile({ ...OWN, reference: "TOP" }).reference).toEqual(["high"]);
    expect(parseProfile({ ...OWN, reference: ["top", "low"] }).reference).toEqual(["high", "low"]);
  });

  test("parseProfile() reads what it wrote", () => {
    const profile = parseProfile(OWN);
    expect(parseProfile(JSON.parse(JSON.stringify(profile)))).toEqual(profile);
  });

  test("parseProfile() reads a law over its rim partials and refuses one that is none", () => {
    const rim = withPartials(
      { name: "a", ratio: 1, nodalMeridians: 2, rim: true },
      { name: "b", ratio: 2, nodalMeridians: 3, rim: true },
    );
    expect(parseProfile({ ...rim, rimLaw: { b: -0.9, p: 1.5 } }).rimLaw).toMatchObject({ b: -0.9, p: 1.5 });
    const law = { b: -0.9, p: 1.5, spreadP: 0.1, source: "a book", status: "read" };
    expect(parseProfile({ ...rim, rimLaw: law }).rimLaw).toEqual(law);
    expect(() => parseProfile({ ...rim, rimLaw: { ...law, spreadP: 1 } })).toThrow(
      /spreadP of "rimLaw" is 1/,
    );
    expect(() => parseProfile({ ...rim, rimLaw: { ...law, source: 3 } })).toThrow(
      /source of "rimLaw" is not/,
    );
    expect(() => parseProfile({ ...rim, rimLaw: { ...law, status: "x" } })).toThrow(
      /status of "rimLaw" is "x"/,
    );
    expect(() => parseProfile({ ...rim, rimLaw: { b: -2, p: 1.5 } })).toThrow(/b of "rimLaw" is -2/);
    expect(() => parseProfile({ ...rim, rimLaw: { b: -0.9 } })).toThrow(/p of "rimLaw" is missing/);
  });
});
