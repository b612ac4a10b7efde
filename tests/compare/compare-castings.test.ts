import { describe, expect, test } from "vitest";
import { compareCastings, MOST_CASTINGS } from "../../src/compare/index.ts";
import { crackedBell, emptyMeasurement, noisyRecording, soundBell } from "../support/sample-measurement.ts";
import { bellLike, casting, inOtherAlloy, oneStrike } from "./support/sample-castings.ts";

describe("compareCastings(inputs, reference, scenario)", () => {
  test("compareCastings refuses fewer than two castings, too many, and a reference that is not there", () => {
    const bell = casting(soundBell());
    expect(() => compareCastings([])).toThrow(RangeError);
    expect(() => compareCastings([bell])).toThrow("1 castings cannot be compared");
    expect(() => compareCastings(Array.from({ length: MOST_CASTINGS + 1 }, () => bell))).toThrow(RangeError);
    for (const reference of [-1, 2, 0.5, Number.NaN])
      expect(() => compareCastings([bell, bell], reference)).toThrow(RangeError);
  });

  test("compareCastings of empty, noisy and cracked measurements ends in plain words, every number finite", () => {
    const all = [soundBell(), emptyMeasurement(), noisyRecording(), crackedBell()];
    for (const a of all) {
      for (const b of all) {
        const comparison = compareCastings([casting(a), casting(b)]);
        const text = JSON.stringify(comparison, (_, value) => {
          if (typeof value === "number") expect(Number.isFinite(value)).toBe(true);
          return value;
        });
        expect(text).not.toMatch(/NaN|Infinity|undefined/);
        expect(comparison.findings.map(({ text }) => text).join(" ")).not.toMatch(/this check failed/);
        expect(comparison.result.text).toMatch(/^[A-Z].*\.$/);
      }
    }
  });

  test("compareCastings of one measurement with itself finds no change, and says nothing else", () => {
    const { result, pairs, unpaired, common } = compareCastings([casting(soundBell()), casting(soundBell())]);
    expect(pairs).toHaveLength(8);
    expect(unpaired).toEqual([]);
    expect(pairs.every(({ beyondStrikeSpread }) => beyondStrikeSpread === false)).toBe(true);
    expect(common).toMatchObject({ pitch: { kind: "none" }, decay: { kind: "none" } });
    expect(result.text).toMatch(/^The decay did not change .*; the pitch did not change .*\.$/);
  });

  test("compareCastings tells an alloy: longer in all, higher throughout, each clause with its finding", () => {
    const { result, common, findings } = compareCastings([
      casting(soundBell()),
      casting(inOtherAlloy(1.022, 0.5)),
    ]);
    // T60 = 2.2 / (loss factor f): half the loss at 1.022 times the frequency (Cremer & Heckl).
    expect(common!.decayRatio.value).toBeCloseTo(2 / 1.022, 3);
    expect(common!.cents.value).toBeCloseTo(1200 * Math.log2(1.022), 3);
    expect(result.text).toMatch(
      /^B rings 1\.9\d+ ± 0\.\d+ times as long as A in all 8 paired partials together, more than strike-to-strike spread; B is 37\.\d+ ± 0\.10 cents higher throughout, so the material or the overall size changed, not the shape\.$/,
    );
    for (const { finding } of result.clauses) {
      const rows = findings.find(({ id }) => id === finding)!.evidence.filter(({ kind }) => kind === "table");
      expect(rows.length).toBeGreaterThan(0);
    }
  });

  test("compareCastings with one strike of either knows nothing of a spread, and says so plainly", () => {
    const b = inOtherAlloy(1.022, 0.5);
    for (const inputs of [
      [oneStrike(soundBell()), b],
      [b, oneStrike(soundBell())],
    ]) {
      const { pairs, result, findings } = compareCastings(inputs.map((m) => casting(m)));
      expect(pairs.every(({ beyondStrikeSpread }) => beyondStrikeSpread === null)).toBe(true);
      expect(pairs.every(({ strikeSpreadCents }) => strikeSpreadCents === null)).toBe(true);
      expect(result.text).toContain("nothing here can be set against the spread between strikes");
      expect(result.text).not.toContain("strike-to-strike");
      expect(findings.find(({ id }) => id === "strikes")).toMatchObject({ outcome: "attention" });
    }
  });

  test("compareCastings shows what has no counterpart", () => {
    const b = bellLike((spec) => (spec.name === "quint" ? null : spec));
    const { unpaired, findings } = compareCastings([casting(soundBell()), casting(b)]);
    expect(unpaired).toMatchObject([{ casting: "a", name: "quint" }]);
    expect(findings.find(({ id }) => id === "unpaired")!.text).toContain("1 partial of A has no counterpart");
  });

  test("compareCastings of three sets each against the reference, whichever that is", () => {
    const inputs = [inOtherAlloy(1.01, 1), soundBell(), inOtherAlloy(1.03, 1)].map((m, i) =>
      casting(m, { label: `heat ${i + 1}` }),
    );
    const comparison = compareCastings(inputs, 1);
    expect(comparison.castings.map(({ letter }) => letter)).toEqual(["B", "A", "C"]);
    expect([comparison, ...comparison.more].map(({ a, b }) => [a, b])).toEqual([
      [1, 0],
      [1, 2],
    ]);
    expect(comparison.result.text).toContain("B is 17.");
    expect(comparison.more[0].result.text).toContain("C is 51.");
    expect(comparison.more[0].findings.find(({ id }) => id === "pitch")!.text).not.toMatch(/\bB\b/);
  });

  test("compareCastings carries the scenario of invented castings, and null for real ones", () => {
    const bell = casting(soundBell());
    expect(compareCastings([bell, bell]).scenario).toBeNull();
    expect(compareCastings([bell, bell], 0, "No such bell.").scenario).toBe("No such bell.");
  });
});
