import { describe, expect, test } from "vitest";
import { nameKind } from "../../src/bell/kind.ts";
import { profileById } from "../../src/bell/profiles.ts";
import { makeRandom } from "../support/synthetic/random.ts";
import { ALBERT_CLOCK_BELL, ALUMINIUM_BAR, D5_BELL, HANDBELL_HZ, partialsAt } from "./measured-bells.ts";
import { randomBell, randomJunk } from "./random-bells.ts";

const kindOf = (hertz: number[]) => {
  const { profile, kind } = nameKind(partialsAt(hertz), null, {});
  return [profile.id, kind.chosenBy];
};

describe("nameKind(partials, given, pins)", () => {
  test("nameKind() recognises published bells", () => {
    expect(kindOf(D5_BELL.map(([, ratio]) => 293.7 * ratio))).toEqual(["minor-third", "recognised"]);
    expect(kindOf(ALBERT_CLOCK_BELL.map(([, ratio]) => 450 * ratio))).toEqual(["minor-third", "recognised"]);
    expect(kindOf(HANDBELL_HZ)).toEqual(["handbell", "recognised"]);
    expect(kindOf(ALUMINIUM_BAR.map((ratio) => 312 * ratio))).toEqual(["free-bar", "recognised"]);
  });

  test("nameKind() of a tube with high strays names its seven modes", () => {
    const tube = [1, 2.8, 5.47, 8.97, 13.24, 18.2, 23.6].map((ratio) => 150 * ratio);
    const bell = [...partialsAt(tube), ...partialsAt([6100, 7003, 8011, 9020, 9500, 10010], -30)];
    const { profile, named } = nameKind(bell, null, {});
    expect(profile.id).toBe("tubular");
    expect(named.partials.slice(0, 6).map(({ name }) => name)).toEqual(
      [1, 2, 3, 4, 5, 6].map((n) => `mode ${n}`),
    );
    // What the user says decides, and the others are not tried.
    const given = nameKind(bell, profileById("tubular"), {});
    expect(given.kind).toMatchObject({
      chosenBy: "user",
      probability: null,
      strikeHalfOf: "mode 4",
      tried: [],
    });
    expect(given.named.partials[3].name).toBe("mode 4");
  });

  test("nameKind() is sure of one kind at the most", () => {
    const random = makeRandom(5);
    for (let bell = 0; bell < 20; bell++) {
      const { kind } = nameKind(randomBell(random, profileById("minor-third"), 0.02), null, {});
      const sum = kind.tried.reduce((total, { probability }) => total + probability, 0);
      expect(sum).toBeLessThanOrEqual(1 + 1e-9);
      expect(kind.tried).toHaveLength(6);
    }
  });

  test("nameKind() takes the default for what is no bell, and hardly ever another kind for a tuned one", () => {
    const random = makeRandom(77);
    const others = Array.from({ length: 60 }, () => nameKind(randomJunk(random), null, {})).filter(
      ({ profile }) => profile.id !== "minor-third",
    );
    expect(others.length).toBeLessThanOrEqual(1);
    for (const off of [0, 0.02, 0.05]) {
      for (let bell = 0; bell < 20; bell++) {
        const { profile } = nameKind(randomBell(random, profileById("minor-third"), off), null, {});
        expect(profile.id).toBe("minor-third");
      }
    }
  });

  test("nameKind() takes a pin's word for which kind is meant", () => {
    const { profile, named } = nameKind(partialsAt([400, 431]), null, { "mode 4": 400 });
    expect(profile.id).toBe("tubular");
    expect(named.partials[0]).toMatchObject({ name: "mode 4", confidence: 1 });
  });
});
