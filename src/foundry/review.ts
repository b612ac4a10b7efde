import type { Estimate, TapMeasurement } from "../measurement/index.ts";
import { contractionFraction } from "./contraction.ts";
import { InvalidPlanError } from "./error.ts";
import { quadrature, relativeCi95 } from "./estimate.ts";
import {
  canContract,
  estimateWords,
  logRatio,
  MOST_PITCH_CENTS,
  percentText,
  type ReviewCause,
  reviewCauses,
} from "./review-causes.ts";
import { pairPartials, type ReviewPair } from "./review-pairs.ts";
import type { ScaleResult } from "./scale.ts";
import { CASTING_SPREAD } from "./scaling-law.ts";
import { suspectNote } from "./suspect.ts";

export interface ReviewRequest {
  plan: ScaleResult;
  measurement: TapMeasurement;
  /** The casting on the scales, and its mouth, where measured. */
  massKg: Estimate | null;
  diameterM: Estimate | null;
}

export interface ReviewPartial extends ReviewPair {
  /** Measured over planned. */
  cents: Estimate;
}

export interface Compared {
  planned: Estimate;
  measured: Estimate;
  /** Measured over planned. */
  ratio: Estimate;
}

export interface ReviewResult {
  label: string;
  partials: ReviewPartial[];
  /** All partials together, measured over planned; its interval holds the plan's. */
  commonCents: Estimate;
  /** Standard deviation of the partials about it; null with fewer than three. */
  scatterCents: number | null;
  strikeNoteHz: Compared | null;
  massKg: Compared | null;
  diameterM: Compared | null;
  /** Contraction seen on the mouth, the pattern taken as cut to the plan; null without its diameter. */
  contractionPercent: Estimate | null;
  /** Decay times, measured over planned, the middle of the partials; null where the plan gives none. */
  decayRatio: Estimate | null;
  /** The pitch lies within the plan's interval. */
  pitchAsPlanned: boolean;
  /** What would explain the pitch, one at a time. */
  causes: ReviewCause[];
  /** What it comes to, in sentences. */
  text: string[];
}

const CENTS_PER_LOG = 1200 / Math.LN2;

/**
 * Sets a casting against its plan, and says what the difference implies for contraction, alloy and wall.
 *
 * @throws InvalidPlanError where measurement and plan share neither a partial nor a strike note.
 */
export function reviewPlan({ plan, measurement, massKg, diameterM }: ReviewRequest): ReviewResult {
  const { expected } = plan;
  const pairs = pairPartials(expected, measurement);
  const strike = measurement.strikeNote?.frequencyHz ?? null;
  const strikeNoteHz = compared(expected.strikeNoteHz, strike);
  const partials = pairs.map((pair) => ({ ...pair, cents: centsOf(pair.measuredHz, pair.plannedHz) }));
  const logs =
    partials.length > 0
      ? partials.map((pair) => pair.cents)
      : strikeNoteHz
        ? [centsOf(strike!, expected.strikeNoteHz!)]
        : [];
  if (logs.length === 0) {
    throw new InvalidPlanError(
      "the plan and the measurement have no partial in common; measure the casting of this plan",
    );
  }
  const mean = logs.reduce((sum, cents) => sum + cents.value, 0) / logs.length;
  // What is uncertain in a plan moves all partials together, so their mean is no surer than the surest of them.
  const commonCents = { value: mean, ci95: Math.min(...logs.map((cents) => cents.ci95)) };
  const scatterCents =
    logs.length < 3
      ? null
      : Math.sqrt(logs.reduce((sum, cents) => sum + (cents.value - mean) ** 2, 0) / (logs.length - 1));
  const mass = compared(expected.massKg, massKg);
  const diameter = compared(expected.diameterM, diameterM);
  const result = {
    label: measurement.options.label,
    partials,
    commonCents,
    scatterCents,
    strikeNoteHz,
    massKg: mass,
    diameterM: diameter,
    contractionPercent: seenContraction(plan, diameterM),
    decayRatio: decayRatioOf(pairs),
    pitchAsPlanned: Math.abs(mean) <= commonCents.ci95,
    causes: reviewCauses(plan, {
      pitch: { value: mean / CENTS_PER_LOG, ci95: commonCents.ci95 / CENTS_PER_LOG },
      mass: mass && logRatio(mass.measured, mass.planned),
      diameter: diameter && logRatio(diameter.measured, diameter.planned),
    }),
  };
  return { ...result, text: textOf(result, plan, measurement) };
}

function centsOf(measured: Estimate, planned: Estimate): Estimate {
  const log = logRatio(measured, planned);
  return { value: log.value * CENTS_PER_LOG, ci95: log.ci95 * CENTS_PER_LOG };
}

function compared(planned: Estimate | null, measured: Estimate | null): Compared | null {
  if (planned === null || measured === null) return null;
  const value = measured.value / planned.value;
  const ratio = { value, ci95: value * quadrature(relativeCi95(measured), relativeCi95(planned)) };
  return { planned, measured, ratio };
}

function seenContraction({ lengths }: ScaleResult, diameterM: Estimate | null): Estimate | null {
  const planned = lengths.find((length) => length.name === "diameter");
  if (planned === undefined || diameterM === null) return null;
  const { value, ci95 } = contractionFraction(planned.patternM.value, diameterM);
  return { value: 100 * value, ci95: 100 * ci95 };
}

function decayRatioOf(pairs: ReviewPair[]): Estimate | null {
  const logs = pairs.flatMap((pair) =>
    pair.plannedDecayS === null ? [] : logRatio(pair.measuredDecayS, pair.plannedDecayS),
  );
  if (logs.length === 0) return null;
  const middle = logs.sort((a, b) => a.value - b.value)[Math.floor(logs.length / 2)]!;
  const value = Math.exp(middle.value);
  return { value, ci95: value * middle.ci95 };
}

type Untold = Omit<ReviewResult, "text">;

function textOf(review: Untold, plan: ScaleResult, measurement: TapMeasurement): string[] {
  const text = [pitchSentence(review.commonCents, review.pitchAsPlanned)];
  const suspect = suspectNote(measurement, "The casting's");
  if (suspect !== null) text.push(suspect);
  if (
    review.scatterCents !== null &&
    review.scatterCents > CASTING_SPREAD.frequencyRelative * CENTS_PER_LOG
  ) {
    text.push(
      `The partials do not move together (standard deviation ${review.scatterCents.toFixed(0)} cents), which size and alloy cannot do: the wall or the shape is not as planned.`,
    );
  }
  if (review.massKg) text.push(sizeSentence("mass", review.massKg));
  if (review.diameterM) text.push(sizeSentence("diameter", review.diameterM));
  if (review.contractionPercent) {
    text.push(
      `Its mouth contracted by ${estimateWords(review.contractionPercent, "%")} from a pattern cut to the plan, which counted on ${estimateWords(plan.contraction.percent, "%")}${canContract(review.contractionPercent) ? "" : "; no casting does, so one of the two diameters is wrong, or this is not the plan's pattern"}.`,
    );
  }
  text.push(causeSentence(review));
  const decay = review.decayRatio;
  // Of another bell, how long it rings says nothing.
  if (isFar(review.commonCents)) return text;
  if (decay === null && plan.alloy !== null) {
    text.push("The plan gives no decay for another alloy, so none is compared.");
  } else if (decay !== null && decay.value + decay.ci95 < 1) {
    text.push(
      `It rings ${estimateWords(decay, "")} times as long as planned: less tin than meant (Audy & Audy, China Foundry 2008), pores, a crack or the mounting.`,
    );
  }
  return text;
}

/** So far off that it is hardly a casting of this plan. */
const isFar = ({ value, ci95 }: Estimate): boolean => Math.abs(value) - ci95 > MOST_PITCH_CENTS;

function pitchSentence({ value, ci95 }: Estimate, asPlanned: boolean): string {
  const side = Math.round(value) === 0 ? "from" : value < 0 ? "below" : "above";
  const size = `${estimateWords({ value: Math.abs(value), ci95 }, "cents")} ${side} the plan`;
  if (asPlanned) return `The casting sounds as planned: ${size}, within the interval.`;
  return `The casting sounds ${size}, beyond the interval${isFar({ value, ci95 }) ? " and so far that it is hardly a casting of this plan" : ""}.`;
}

function sizeAsPlanned({ ratio }: Compared): boolean {
  return Math.abs(ratio.value - 1) <= ratio.ci95;
}

function sizeSentence(what: string, compared: Compared): string {
  const { planned, measured, ratio } = compared;
  const where = sizeAsPlanned(compared)
    ? "as planned"
    : ratio.value > 1
      ? "above the plan"
      : "below the plan";
  return `Its ${what} is ${where}: ${percentText(logRatio(measured, planned))}.`;
}

function causeSentence({ causes, pitchAsPlanned, massKg, diameterM }: Untold): string {
  if (pitchAsPlanned) {
    return [massKg, diameterM].every((size) => size === null || sizeAsPlanned(size))
      ? "Nothing needs explaining; contraction, alloy and wall are as planned as far as this tells."
      : "The pitch is as planned and the size is not, so two things changed and made up for each other: wall and alloy, or size and wall.";
  }
  const possible = causes.filter((cause) => cause.possible);
  if (possible.length === 0) {
    return "No cause alone can make such a difference: see that this is the casting of this plan, and that the plan's note, alloy and sizes are the ones that were poured.";
  }
  if (possible.every((cause) => cause.agrees === null)) {
    const names = possible.map((cause) => cause.cause).join(" or ");
    return `${names.charAt(0).toUpperCase()}${names.slice(1)} may be the cause: weigh the casting and measure its diameter, which tells them apart.`;
  }
  const agreeing = causes.filter((cause) => cause.agrees === true);
  if (agreeing.length === 0) {
    return "No single cause agrees with both pitch and size: more than one changed, or the shape did.";
  }
  const told = agreeing.map(
    ({ cause, implied, unit, impliedText }) => `${cause} (${impliedText} ${estimateWords(implied, unit)})`,
  );
  const others = causes.filter((cause) => cause.agrees === false).map((cause) => cause.cause);
  const ruled = others.length > 0 ? `; ${others.join(" and ")} alone does not agree with its size` : "";
  return `It agrees with ${told.join(", or with ")}${ruled}.`;
}
