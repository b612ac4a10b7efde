import type { Estimate } from "../measurement/index.ts";
import { scaled } from "./estimate.ts";
import type { Profile } from "./profile.ts";

/** What a profile says of the strike note. */
export type StrikeRule = Pick<Profile, "strikeHalfOf" | "reference" | "partials">;

export interface RuledPartial {
  /** null where nothing is named. */
  name: string | null;
  /** 0 to 1; null without a name. */
  nameConfidence: number | null;
  frequencyHz: Estimate;
}

export interface RuledNote {
  frequencyHz: Estimate;
  /** "half the nominal", or which partials stand for it. */
  method: string;
  /** That of the names it rests on, 0 to 1. */
  confidence: number;
}

/** One partial says nothing of how far the casting is off. */
const FEWEST_NEIGHBOURS = 2;
const CI95 = 1.96;
/** Castings from tuned, half a per cent off, to further off than the profile's spread, as multiples of it, equally likely. */
const SPREAD_SCALES = [0.07, 0.15, 0.25, 0.7, 1.4, 2.5];

/** "half the nominal" and the like. */
export function halfOf(name: string): string {
  return `half the ${name}`;
}

/**
 * The strike note by the trade's rule: half of the partial that the profile names for it, at any size of bell.
 *
 * Where that partial is not named, those that ratios are measured from stand for it, two of them at least, each by its
 * ratio. How far they may be off is learned from how well they agree: each is off by a common multiple of its spread on
 * untuned castings, one of several that are equally likely before looking.
 *
 * @returns null without a rule, or where too little is named
 */
export function ruledNote(partials: readonly RuledPartial[], rule: StrikeRule | null): RuledNote | null {
  if (rule === null || rule.strikeHalfOf === null) return null;
  const named = partials.find(({ name }) => name === rule.strikeHalfOf);
  if (named !== undefined) {
    const method = halfOf(rule.strikeHalfOf);
    return { frequencyHz: scaled(named.frequencyHz, 0.5), method, confidence: named.nameConfidence ?? 0 };
  }
  const whole = rule.partials.find(({ name }) => name === rule.strikeHalfOf);
  if (whole === undefined) return null;
  const neighbours = rule.partials.flatMap(({ name, ratio, spread }) => {
    const partial = rule.reference.includes(name) ? partials.find((p) => p.name === name) : undefined;
    if (partial === undefined) return [];
    const noteHz = scaled(partial.frequencyHz, whole.ratio / (2 * ratio));
    return [{ name, noteHz, spread, confidence: partial.nameConfidence ?? 0 }];
  });
  if (neighbours.length < FEWEST_NEIGHBOURS) return null;
  const weights = neighbours.map(({ spread }) => 1 / spread ** 2);
  const total = weights.reduce((sum, w) => sum + w, 0);
  const logs = neighbours.map(({ noteHz }) => Math.log(noteHz.value));
  const mean = logs.reduce((sum, log, i) => sum + (weights[i]! / total) * log, 0);
  const measured = Math.hypot(...neighbours.map(({ noteHz }, i) => (weights[i]! / total) * logError(noteHz)));
  const chi = logs.reduce((sum, log, i) => sum + weights[i]! * (log - mean) ** 2, 0);
  const likely = SPREAD_SCALES.map((s) => s ** (1 - neighbours.length) * Math.exp(-0.5 * (chi / s ** 2)));
  const scaleSquared =
    SPREAD_SCALES.reduce((sum, s, i) => sum + likely[i]! * s ** 2, 0) / likely.reduce((sum, p) => sum + p, 0);
  const value = Math.exp(mean);
  return {
    frequencyHz: { value, ci95: value * Math.hypot(measured, CI95 * Math.sqrt(scaleSquared / total)) },
    method: `half of where ${listOf(neighbours.map(({ name }) => name))} put the ${rule.strikeHalfOf}`,
    confidence: Math.min(...neighbours.map(({ confidence }) => confidence)),
  };
}

const logError = ({ value, ci95 }: Estimate) => ci95 / value;

const listOf = (names: string[]) => `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`;
