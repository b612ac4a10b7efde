import type { ChargeResult } from "./charge.ts";
import type { CorrectionResult } from "./correct.ts";
import { InvalidPlanError } from "./error.ts";
import type { ReviewResult } from "./review.ts";
import type { ScaleResult } from "./scale.ts";
import type { DensityResult } from "./weighing.ts";

export const PLAN_SCHEMA = "ringwright.plan/1";

/** A plan as saved: `command` says which of the others is there. */
export interface PlanDocument {
  schema: typeof PLAN_SCHEMA;
  tool: { name: "ringwright"; version: string };
  command: "scale" | "charge" | "correct" | "density" | "review";
  scale?: ScaleResult;
  charge?: ChargeResult;
  correct?: CorrectionResult;
  density?: DensityResult;
  review?: ReviewResult;
}

/**
 * Reads a saved plan for a review: JSON text made by `plan scale --json`.
 *
 * @throws InvalidPlanError where it is no such plan, or lacks what a review sets the casting against.
 */
export function readScalePlan(text: string): ScaleResult {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch {
    throw new InvalidPlanError("the plan is no JSON; save one with plan scale --json");
  }
  if (!isRecord(json) || json.schema !== PLAN_SCHEMA) {
    throw new InvalidPlanError(`the plan is no ${PLAN_SCHEMA} file; save one with plan scale --json`);
  }
  const { scale } = json;
  if (!isRecord(scale)) {
    throw new InvalidPlanError(
      "the plan holds no scale, which tells what to expect; save one with plan scale --json",
    );
  }
  if (!isScale(scale)) {
    throw new InvalidPlanError(
      "the plan is damaged: what it expects of the casting cannot be read; save it again",
    );
  }
  return scale;
}

function isRecord(value: unknown): value is Record<string, unknown> {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

function isEstimate(value: unknown): boolean {
  return (
    isRecord(value) &&
    Number.isFinite(value.value) &&
    Number.isFinite(value.ci95) &&
    (value.ci95 as number) >= 0
  );
}

function isPositive(value: unknown): boolean {
  return isEstimate(value) && ((value as Record<string, unknown>).value as number) > 0;
}

function isPositiveOrNull(value: unknown): boolean {
  return value === null || isPositive(value);
}

/** Checks what a review reads, no more: later versions may add to it. */
function isScale(scale: Record<string, unknown>): scale is Record<string, unknown> & ScaleResult {
  const { expected, contraction, exponent } = scale;
  return (
    isRecord(expected) &&
    Array.isArray(expected.partials) &&
    expected.partials.every(
      (partial: unknown) =>
        isRecord(partial) &&
        (partial.name === null || typeof partial.name === "string") &&
        isPositive(partial.frequencyHz) &&
        isPositiveOrNull(partial.decayTimeS),
    ) &&
    isPositiveOrNull(expected.strikeNoteHz) &&
    isPositiveOrNull(expected.massKg) &&
    isPositiveOrNull(expected.diameterM) &&
    isPositive(exponent) &&
    isRecord(contraction) &&
    isEstimate(contraction.percent) &&
    Array.isArray(scale.lengths) &&
    scale.lengths.every((length: unknown) => isRecord(length) && isPositive(length.patternM)) &&
    (scale.alloy === null || isRecord(scale.alloy))
  );
}
