import { describe, expect, test } from "vitest";
import { pairPartials } from "../../src/compare/pair-partials.ts";
import { estimate } from "../support/sample-parts.ts";

type Spec = [name: string | null, hertz: number, m?: number | null, decayTimeS?: number];
const partials = (specs: Spec[]) =>
  specs.map(([name, f, nodalMeridians = null, decayTimeS = 3]) => ({
    name,
    nodalMeridians,
    frequencyHz: estimate(f, 0.01),
    decayTimeS: estimate(decayTimeS, 0.01),
    levelDb: estimate(0, 0.1),
  }));
const cents = (c: number) => 2 ** (c / 1200);
const shown = (a: Spec[], b: Spec[]) =>
  pairPartials(partials(a), partials(b)).map(
    (match) => [a[match.a][1], Math.round(b[match.b][1]), match.pairedBy] as const,
  );

describe("pairPartials(a, b)", () => {
  test("pairPartials(a, b) of nothing is nothing", () => {
    expect(pairPartials([], partials([["hum", 300]]))).toEqual([]);
    expect(pairPartials([], [])).toEqual([]);
  });

  test("pairPartials(a, b) pairs by name where the nearest frequency is another partial's", () => {
    // All up by 300 cents: A's tierce lies nearest to B's prime.
    const a: Spec[] = [
      ["hum", 300],
      ["prime", 600],
      ["tierce", 720],
      ["nominal", 1200],
    ];
    const b = a.map(([name, f]): Spec => [name, f * cents(300)]);
    expect(shown(a, b)).toEqual([
      [300, 357, "name"],
      [600, 714, "name"],
      [720, 856, "name"],
      [1200, 1427, "name"],
    ]);
  });

  test("pairPartials(a, b) pairs unnamed rim partials of one order, but not of an m that is there twice", () => {
    const a: Spec[] = [
      ["hum", 300, 2],
      ["prime", 600, 2],
      [null, 3120, 7],
      [null, 3960, 8],
    ];
    const b: Spec[] = [
      ["hum", 310, 2],
      [null, 660, 2],
      [null, 3300, 7],
      [null, 4080, 8],
    ];
    expect(shown(a, b)).toEqual([
      [300, 310, "name"],
      [3120, 3300, "rim order"],
      [3960, 4080, "rim order"],
    ]);
  });

  test("pairPartials(a, b) pairs the rest by place once the common shift is off, named in one of them or in none", () => {
    const a: Spec[] = [
      ["hum", 300],
      ["prime", 600],
      [null, 1111],
      ["nominal", 1200],
      [null, 1900],
    ];
    const b: Spec[] = [
      ["hum", 300 * cents(40)],
      ["prime", 600 * cents(40)],
      [null, 1111 * cents(47)],
      ["nominal", 1200 * cents(40)],
      ["superquint", 1900 * cents(38)],
    ];
    expect(shown(a, b).map(([f, , by]) => [f, by])).toEqual([
      [300, "name"],
      [600, "name"],
      [1111, "place"],
      [1200, "name"],
      [1900, "place"],
    ]);
  });

  test("pairPartials(a, b) leaves unpaired what could be two, what crosses over others, and what decays quite otherwise", () => {
    const names: Spec[] = [
      ["hum", 300],
      ["prime", 600],
      ["nominal", 1200],
    ];
    // Two candidates, 10 and 20 cents off.
    const twins: Spec[] = [...names, [null, 1000 * cents(-20)], [null, 1000 * cents(10)]];
    const sorted = twins.sort((x, y) => x[1] - y[1]);
    expect(shown([...names.slice(0, 2), [null, 1000], names[2]], sorted)).toHaveLength(3);
    // A place below the nominal in one and above it in the other.
    const below: Spec[] = [...names.slice(0, 2), [null, 1200 * cents(-20)], names[2]];
    const above: Spec[] = [...names, [null, 1200 * cents(15)]];
    expect(shown(below, above)).toHaveLength(3);
    // At the same place, but it rings twenty times as long.
    expect(shown([...names, [null, 2000, null, 1]], [...names, [null, 2000, null, 20]])).toHaveLength(3);
    expect(shown([...names, [null, 2000, null, 1]], [...names, [null, 2000, null, 2.5]])).toHaveLength(4);
  });

  test("pairPartials(a, b) never pairs two different names by place", () => {
    const a: Spec[] = [
      ["hum", 300],
      ["prime", 600],
      ["tierce", 720],
    ];
    const b: Spec[] = [
      ["hum", 300],
      ["prime", 600],
      ["quint", 720],
    ];
    expect(shown(a, b)).toHaveLength(2);
  });

  test("pairPartials(a, b) without any name takes the shift that lines up most", () => {
    const a: Spec[] = [300, 621, 728, 903, 1222].map((f) => [null, f]);
    const b: Spec[] = [300, 621, 728, 903, 1222].map((f) => [null, f * cents(80)]);
    expect(shown(a, b)).toHaveLength(5);
    expect(shown(a, b).every(([, , by]) => by === "place")).toBe(true);
  });

  test("pairPartials(a, b) sets names aside that contradict what lines up", () => {
    const hertz = [300, 621, 728, 903, 1222, 1871];
    const names = ["hum", "prime", "tierce", "quint", "nominal", "superquint"];
    const a = hertz.map((f, i): Spec => [i === 5 ? null : names[i], f]);
    // The same bell, named one partial further up.
    const b = hertz.map((f, i): Spec => [i === 0 ? null : names[i - 1], f]);
    const found = shown(a, b);
    expect(found.every(([f, g]) => Math.abs(f - g) < 1)).toBe(true);
    expect(found.every(([, , by]) => by === "place")).toBe(true);
  });
});
