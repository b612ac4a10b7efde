import { describe, expect, test } from "vitest";
import { soundBell } from "../../support/sample-measurement.ts";
import { bellLike, oneStrike } from "../support/sample-castings.ts";
import { judged } from "./judged.ts";

const split = (name: string, splitHz: number) =>
  bellLike((spec) => (spec.name === name ? { ...spec, splitHz, weakerDb: 3 } : spec));

describe("splits", () => {
  test("splits of the same casting are the same, and of a bell without any there are none", () => {
    expect(judged("splits", soundBell(), soundBell()).title).toBe("No sure change of the splits");
    const plain = bellLike(({ splitHz: _, ...spec }) => spec);
    expect(judged("splits", plain, plain)).toMatchObject({ title: "No splits", evidence: [] });
  });

  test("splits that came, went or beat at another rate are told", () => {
    const { title, text } = judged("splits", soundBell(), split("tierce", 2.5));
    expect(title).toBe("Warbles changed");
    expect(text).toMatch(/the tierce \(A: one line, B: 2\.5\d* ± \S+ Hz\)/);
    expect(judged("splits", split("prime", 0.42), split("prime", 1.9)).text).toContain("the prime (A: 0.4");
  });

  test("splits are not told where the other member stands among the unpaired, or the ring-down is rough", () => {
    const b = split("tierce", 2.5);
    const lone = { ...soundBell().partials[2], name: null, nodalMeridians: null };
    const a = soundBell();
    const partials = [...a.partials, { ...lone, frequencyHz: { value: 621, ci95: 0.01 } }].sort(
      (x, y) => x.frequencyHz.value - y.frequencyHz.value,
    );
    expect(judged("splits", { ...a, partials }, b).title).toBe("No sure change of the splits");
    const rough = { ...b, fit: { ...b.fit, freeDecay: false } };
    expect(judged("splits", soundBell(), rough)).toMatchObject({
      outcome: "not-measurable",
      text: expect.stringContaining("ring-down of B"),
    });
  });

  test("splits wider than any warble are two tones, and not told as warbles", () => {
    expect(judged("splits", soundBell(), split("tierce", 35)).title).toBe("No sure change of the splits");
  });

  test("splits of different patterns are not set against each other", () => {
    const other = bellLike((spec, i) => ({
      ...spec,
      name: null,
      frequencyHz: spec.frequencyHz * 1.045 ** i,
    }));
    expect(judged("pattern", soundBell(), other).outcome).toBe("attention");
    expect(judged("splits", soundBell(), other)).toMatchObject({
      outcome: "not-measurable",
      text: expect.stringContaining("different patterns"),
    });
  });

  test("splits need pairs", () => {
    const nothing = bellLike(() => null);
    expect(judged("splits", nothing, oneStrike(soundBell())).outcome).toBe("not-measurable");
  });
});
