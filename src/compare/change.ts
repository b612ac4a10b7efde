import type { Estimate } from "../measurement/index.ts";
import { asNormal, studentQuantile, studentTail } from "./distributions.ts";
import { CENTS_PER_NEPER } from "./estimate.ts";
import type { LogError } from "./strike-spread.ts";
import { threshold } from "./thresholds.ts";

/** B over A of one quantity of one pair, as a logarithm. */
export interface Change {
  value: number;
  sd: number;
  degrees: number;
  /** Standard deviation of one strike, both castings together; null with one strike of either. */
  strikeSd: number | null;
}

/** What no fit knows, as a logarithm. */
const MODEL_SD = threshold("modelCents") / CENTS_PER_NEPER;

/** Standard errors of independent values in quadrature, the model's own added, with the degrees of freedom of Welch & Satterthwaite. */
export function changeOf(value: number, a: LogError, b: LogError): Change {
  const variance = a.sd ** 2 + b.sd ** 2 + MODEL_SD ** 2;
  const share = (error: LogError) => (variance === 0 ? 0 : (error.sd ** 2 / variance) ** 2 / error.degrees);
  const inverse = share(a) + share(b);
  return {
    value,
    sd: Math.sqrt(variance),
    degrees: inverse === 0 ? Number.POSITIVE_INFINITY : 1 / inverse,
    strikeSd:
      a.strikeSd === null || b.strikeSd === null ? null : Math.sqrt((a.strikeSd ** 2 + b.strikeSd ** 2) / 2),
  };
}

/** The least standard error that arithmetic in doubles allows; keeps two copies of one file from dividing by 0. */
const LEAST_SD = 1e-12;

/** Normal score of a change against a value: how improbable, as a normal value. */
export function scoreOf({ value, sd, degrees }: Change, against = 0): number {
  return asNormal((value - against) / Math.max(sd, LEAST_SD), degrees);
}

/** A standard deviation that, taken as a normal one, gives the 95 % interval of Student's t. */
export function normalSd({ sd, degrees }: Pick<Change, "sd" | "degrees">): number {
  return (
    Math.max(sd, LEAST_SD) *
    (studentQuantile(0.05, degrees) / studentQuantile(0.05, Number.POSITIVE_INFINITY))
  );
}

/** The change with its 95 % half-width. */
export function intervalOf({ value, sd, degrees }: Change): Estimate {
  return { value, ci95: sd * studentQuantile(0.05, degrees) };
}

/**
 * Which of several changes differ from 0, with a chance of at most `falseAlarm` that any of them is named where none
 * does: Holm, Scand. J. Statist. 6 (1979) 65-70 (from memory).
 */
export function changed(changes: readonly Change[], falseAlarm: number): boolean[] {
  const tails = changes.map(({ value, sd, degrees }) => studentTail(value / Math.max(sd, LEAST_SD), degrees));
  const order = tails.map((_, i) => i).sort((i, j) => tails[i] - tails[j]);
  const named = changes.map(() => false);
  for (const [rank, i] of order.entries()) {
    if (tails[i] > falseAlarm / (order.length - rank)) break;
    named[i] = true;
  }
  return named;
}
