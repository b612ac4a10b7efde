import { type Estimate, showEstimate } from "../measurement/index.ts";
import limits from "./data/review-limits.json" with { type: "json" };
import { quadrature, relativeCi95 } from "./estimate.ts";
import type { ScaleResult } from "./scale.ts";
import { CASTING_SPREAD, WALL_LAW } from "./scaling-law.ts";

export interface ReviewCause {
  cause: "contraction" | "alloy" | "wall";
  /** What it would have to be for this cause alone to explain the pitch. */
  implied: Estimate;
  unit: "%" | "";
  impliedText: string;
  /** Whether the cause can be as large as that in a casting of its own plan. */
  possible: boolean;
  /** Whether mass and diameter bear it out; null when neither was measured. */
  agrees: boolean | null;
  evidence: string;
}

/** Casting over plan, as natural logarithms with their 95 % half-widths; null where not measured. */
export interface LogDifferences {
  pitch: Estimate;
  mass: Estimate | null;
  diameter: Estimate | null;
}

/** Logarithm of measured over planned. */
export function logRatio(measured: Estimate, planned: Estimate): Estimate {
  return {
    value: Math.log(measured.value / planned.value),
    ci95: quadrature(relativeCi95(measured), relativeCi95(planned)),
  };
}

/**
 * What would explain the pitch, one cause at a time, and whether mass and diameter agree with it:
 * - a contraction other than planned changes the size s: pitch -p s, mass 3 s, diameter s;
 * - an alloy other than planned changes the pitch and leaves mass and diameter;
 * - a wall other than planned changes its thickness w: pitch q w, mass w, diameter 0.
 */
export function reviewCauses(plan: ScaleResult, { pitch, mass, diameter }: LogDifferences): ReviewCause[] {
  // How far the plan's own uncertainty reaches does not matter for what explains the casting as it is.
  const known: Estimate = { value: pitch.value, ci95: CASTING_SPREAD.frequencyRelative };
  const p = plan.exponent.value;
  const q = WALL_LAW.exponent.value;
  const size: Estimate = { value: -known.value / p, ci95: known.ci95 / p };
  const wall: Estimate = {
    value: known.value / q,
    ci95: quadrature(known.ci95 / q, (known.value * WALL_LAW.exponent.ci95) / q ** 2),
  };
  const grown = 1 + plan.contraction.percent.value / 100;
  const none: Estimate = { value: 0, ci95: 0 };
  const contraction = { value: 100 * (grown / Math.exp(size.value) - 1), ci95: 100 * grown * size.ci95 };
  return [
    {
      cause: "contraction",
      implied: contraction,
      unit: "%",
      impliedText: "contraction of the casting",
      ...within(
        limits.contractionPercent,
        contraction,
        "%",
        agreement({ mass: times(size, 3), diameter: size }, mass, diameter),
      ),
    },
    {
      cause: "alloy",
      implied: exponential(known),
      unit: "",
      impliedText: "square root of E over density, casting over plan",
      ...within(
        limits.rootOfStiffnessOverDensity,
        exponential(known),
        "",
        agreement({ mass: none, diameter: none }, mass, diameter),
      ),
    },
    {
      cause: "wall",
      implied: exponential(wall),
      unit: "",
      impliedText: "thickness of the wall, casting over plan",
      ...within(
        limits.wall,
        exponential(wall),
        "",
        agreement({ mass: wall, diameter: none }, mass, diameter),
      ),
    },
  ];
}

type Agreement = Pick<ReviewCause, "agrees" | "evidence">;

/** Refuses a cause that would have to be larger than it can be. */
function within(
  range: number[],
  implied: Estimate,
  unit: "%" | "",
  agreement: Agreement,
): Pick<ReviewCause, "possible" | "agrees" | "evidence"> {
  if (canLieIn(range, implied)) return { possible: true, ...agreement };
  const [low, high] = range;
  const space = unit === "" ? "" : " ";
  return {
    possible: false,
    agrees: false,
    evidence: `beyond what it can be, ${low} to ${high}${space}${unit}`.replace("-", "\u2212"),
  };
}

/** Whether a casting can contract by so many per cent. */
export function canContract(percent: Estimate): boolean {
  return canLieIn(limits.contractionPercent, percent);
}

function canLieIn(range: number[], { value, ci95 }: Estimate): boolean {
  const [low, high] = range as [number, number];
  return value + ci95 >= low && value - ci95 <= high;
}

/** How far off a casting of its own plan can sound, cents. */
export const MOST_PITCH_CENTS: number = limits.pitchCents;

function times(estimate: Estimate, factor: number): Estimate {
  return { value: estimate.value * factor, ci95: estimate.ci95 * factor };
}

function exponential({ value, ci95 }: Estimate): Estimate {
  return { value: Math.exp(value), ci95: Math.exp(value) * ci95 };
}

function agreement(
  predicted: { mass: Estimate; diameter: Estimate },
  mass: Estimate | null,
  diameter: Estimate | null,
): Agreement {
  const tests = [
    { what: "mass", seen: mass, told: predicted.mass },
    { what: "diameter", seen: diameter, told: predicted.diameter },
  ].flatMap(({ what, seen, told }) => (seen === null ? [] : { what, seen, told }));
  if (tests.length === 0)
    return { agrees: null, evidence: "weigh the casting and measure its diameter to tell" };
  const fits = tests.map(
    ({ seen, told }) => Math.abs(seen.value - told.value) <= quadrature(seen.ci95, told.ci95),
  );
  const evidence = tests.map(
    ({ what, seen, told }) => `${what} ${percentText(seen)}, this would make ${percentText(told)}`,
  );
  return { agrees: fits.every(Boolean), evidence: evidence.join("; ") };
}

/** A logarithm of a ratio as per cent with its interval, e.g. "+10.7 ± 4.4 %". */
export function percentText({ value, ci95 }: Estimate): string {
  if (value === 0 && ci95 === 0) return "no change";
  const ratio = Math.exp(value);
  return `${value > 0 ? "+" : ""}${estimateWords({ value: 100 * (ratio - 1), ci95: 100 * ratio * ci95 }, "%")}`;
}

/** An estimate in a sentence, with a true minus. */
export function estimateWords(estimate: Estimate, unit: string): string {
  return showEstimate(estimate, unit).replace(/-/g, "\u2212");
}
