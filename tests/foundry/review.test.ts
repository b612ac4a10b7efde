import { describe, expect, it } from "vitest";
import { reviewPlan } from "../../src/foundry/review.ts";
import { planScale } from "../../src/foundry/scale.ts";
import type { TapMeasurement } from "../../src/measurement/index.ts";
import { emptyMeasurement, soundBell } from "../support/sample-measurement.ts";

const estimate = (value: number, ci95 = 0) => ({ value, ci95 });

/** A plan to cast the same bell again: 0.3 m, 20 kg. */
const PLAN = planScale({
  measurement: soundBell(),
  reference: "strike note",
  targetHz: 523.2,
  targetNote: null,
  size: { diameterM: estimate(0.3, 0.0003), heightM: null, wallM: null, massKg: estimate(20, 0.02) },
  fromAlloy: null,
  toAlloy: null,
  family: [],
  wallOnly: false,
  contraction: { fraction: estimate(0.015, 0.001), source: "set by the founder" },
  temperature: null,
});

/** The planned bell with every frequency and decay multiplied. */
function casting(pitch: number, decay = 1): TapMeasurement {
  const bell = soundBell();
  const times = (e: { value: number; ci95: number }, by: number) => ({
    value: e.value * by,
    ci95: e.ci95 * by,
  });
  return {
    ...bell,
    partials: bell.partials.map((partial) => ({
      ...partial,
      frequencyHz: times(partial.frequencyHz, pitch),
      decayTimeS: times(partial.decayTimeS, decay / pitch),
    })),
    strikeNote: { ...bell.strikeNote!, frequencyHz: times(bell.strikeNote!.frequencyHz, pitch) },
  };
}

const review = (measurement: TapMeasurement, massKg: number | null = null, diameterM: number | null = null) =>
  reviewPlan({
    plan: PLAN,
    measurement,
    massKg: massKg === null ? null : estimate(massKg, massKg * 0.001),
    diameterM: diameterM === null ? null : estimate(diameterM, diameterM * 0.001),
  });

const agreeing = (result: ReturnType<typeof review>) =>
  result.causes.filter((cause) => cause.agrees).map((cause) => cause.cause);

describe("reviewPlan", () => {
  it("reviewPlan refuses a measurement that shares nothing with the plan", () => {
    expect(() => review(emptyMeasurement())).toThrow(/no partial in common/);
  });

  it("reviewPlan of the planned bell finds it as planned", () => {
    const result = review(casting(1), 20, 0.3);
    expect(result.pitchAsPlanned).toBe(true);
    expect(result.commonCents.value).toBeCloseTo(0, 9);
    expect(result.scatterCents).toBeCloseTo(0, 9);
    expect(result.partials).toHaveLength(8);
    expect(result.massKg!.ratio.value).toBeCloseTo(1, 12);
    expect(result.decayRatio!.value).toBeCloseTo(1, 9);
    expect(result.text.join(" ")).toMatch(/as planned.*Nothing needs explaining/);
  });

  it("reviewPlan without mass and diameter names the causes that can be so large, and asks for the scales", () => {
    const result = review(casting(0.95));
    expect(result.pitchAsPlanned).toBe(false);
    expect(result.commonCents.value).toBeCloseTo(1200 * Math.log2(0.95), 9);
    expect(result.causes.map((cause) => cause.agrees)).toEqual([false, null, null]);
    // A fifth of a tone flat would be a casting larger than its mould.
    expect(result.causes.map((cause) => cause.possible)).toEqual([false, true, true]);
    expect(result.text.join(" ")).toMatch(/Alloy or wall may be the cause: weigh the casting/);
  });

  it("reviewPlan tells contraction: 3 % larger is 3 % lower and 9 % heavier, and the contraction implied is -1.5 %", () => {
    const result = review(casting(1 / 1.03), 20 * 1.03 ** 3, 0.3 * 1.03);
    expect(agreeing(result)).toEqual(["contraction"]);
    // 1.015 / 1.03 - 1: the casting came out larger than its pattern less 1.5 %.
    expect(result.causes[0]!.implied.value).toBeCloseTo(100 * (1.015 / 1.03 - 1), 9);
    expect(result.text.join(" ")).toMatch(/agrees with contraction .*wall alone does not/);
  });

  it("reviewPlan reads the contraction off the mouth: a pattern of 304.5 mm that gave 300 mm contracted by 1.5 %", () => {
    expect(review(casting(1), 20, 0.3).contractionPercent!.value).toBeCloseTo(1.5, 9);
    expect(review(casting(1), 20, 0.303).text.join(" ")).toMatch(/mouth contracted by 0\.50 ± 0\.10 %/);
    expect(review(casting(1)).contractionPercent).toBeNull();
  });

  it("reviewPlan tells the alloy: the same size and mass, another pitch", () => {
    const result = review(casting(1.05), 20, 0.3);
    expect(agreeing(result)).toEqual(["alloy"]);
    expect(result.causes[1]!.implied.value).toBeCloseTo(1.05, 9);
  });

  it("reviewPlan tells the wall: 10 % thicker is 9 % higher at one diameter", () => {
    const result = review(casting(1.1 ** 0.9), 22, 0.3);
    expect(agreeing(result)).toEqual(["wall"]);
    expect(result.causes[2]!.implied.value).toBeCloseTo(1.1, 9);
  });

  it("reviewPlan says when no single cause agrees", () => {
    expect(review(casting(1.05), 30, 0.3).text.join(" ")).toMatch(/No single cause agrees/);
  });

  it("reviewPlan doubts that a casting most of an octave off is one of this plan, and gives no cause for it", () => {
    const result = review(casting(1.55), 10, 0.24);
    expect(result.causes.map((cause) => cause.possible)).toEqual([false, false, true]);
    expect(result.text[0]).toMatch(/so far that it is hardly a casting of this plan/);
    const further = review(casting(0.2));
    expect(further.causes.map((cause) => cause.agrees)).toEqual([false, false, false]);
    expect(further.causes[0]!.evidence).toBe("beyond what it can be, \u22121 to 4 %");
    expect(further.text.join(" ")).toMatch(/see that this is the casting of this plan/);
  });

  it("reviewPlan says what in the casting's measurement asks for attention, and plans on it say so too", () => {
    const bell = casting(1);
    bell.findings = [
      { id: "clipping", outcome: "attention", title: "Clipped", text: "", evidence: [] },
      { id: "warble", outcome: "attention", title: "The bell warbles", text: "", evidence: [] },
    ];
    const note = review(bell).text[1];
    expect(note).toMatch(/^The casting's measurement asks for attention \(Clipped\): trust/);
    const rough = { ...casting(1), findings: [], fit: { ...casting(1).fit, freeDecay: false } };
    expect(review(rough).text[1]).toContain("The ring-down is not a free decay");
    expect(review({ ...casting(1), findings: [] }).text.join(" ")).not.toContain("asks for attention");
  });

  it("reviewPlan sees partials that do not move together", () => {
    const bell = casting(1);
    bell.partials.forEach((partial, i) => {
      partial.frequencyHz.value *= 1 + 0.02 * (i % 3);
    });
    expect(review(bell).text.join(" ")).toMatch(/do not move together/);
  });

  it("reviewPlan sees a casting that rings short", () => {
    const result = review(casting(1, 0.4));
    expect(result.decayRatio!.value).toBeCloseTo(0.4, 9);
    expect(result.text.join(" ")).toMatch(/rings 0\.40 ± 0\.12 times as long/);
  });

  it("reviewPlan pairs a nameless partial with its nearest after the shift of the others, and goes by the strike note where nothing is paired", () => {
    const result = review(casting(0.8));
    expect(result.partials.filter((partial) => partial.name === null)).toHaveLength(1);
    const noPartials = { ...casting(0.9), partials: [] };
    expect(review(noPartials).commonCents.value).toBeCloseTo(1200 * Math.log2(0.9), 9);
    expect(review(noPartials).scatterCents).toBeNull();
  });
});
