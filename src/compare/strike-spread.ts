import type { TapMeasurement } from "../measurement/index.ts";
import { median } from "./estimate.ts";
import { threshold } from "./thresholds.ts";

/** How one quantity of one partial differs between the strikes of its casting, relative to its value. */
export interface Spread {
  /** Standard deviation of one strike, steadied by the casting's other partials; null with one strike. */
  strikeSd: number | null;
  degrees: number;
  strikes: number;
}

/** Standard error of the logarithm of a pooled value. */
export interface LogError {
  strikeSd: number | null;
  /** The larger of the fit's own error and that of a mean over the strikes. */
  sd: number;
  /** Degrees of freedom of `sd`; infinite where the fit alone gives it. */
  degrees: number;
}

/** With fewer partials there is no "others" to lean on. */
const LEAST_FOR_PRIOR = 3;

/** Median of chi-squared over its degrees of freedom (Wilson & Hilferty 1931). */
const medianRatio = (degrees: number): number => (1 - 2 / (9 * degrees)) ** 3;

/** Strikes that went into the pooled values. */
export function usedStrikes({ strikes }: Pick<TapMeasurement, "strikes">): number {
  return strikes.filter((strike) => strike.leftOut === null).length;
}

/**
 * Spreads of one quantity for all partials of a casting. From two or three strikes a spread is hardly known: the same three
 * strikes give a tenth or twice the true one. So each partial's variance is averaged with what is usual among the
 * casting's partials, as a moderated variance (Smyth 2004): (d s^2 + d0 s0^2) / (d + d0) on d + d0 degrees of freedom,
 * s0^2 the median over the partials freed of the bias of a median.
 *
 * @param spreads standard deviation between strikes over the value, per partial; null where not known
 */
function moderated(spreads: (number | null)[], strikes: number): Spread[] {
  const degrees = strikes - 1;
  const known = spreads.flatMap((s) => s ?? []);
  const unknown: Spread = { strikeSd: null, degrees: Number.POSITIVE_INFINITY, strikes };
  if (degrees < 1 || known.length === 0) return spreads.map(() => unknown);
  const prior = known.length >= LEAST_FOR_PRIOR ? threshold("priorStrikes") : 0;
  const usual =
    prior === 0 ? 0 : (median(known.map((s) => s * s)) * medianRatio(prior)) / medianRatio(degrees);
  return spreads.map((s) => {
    const own = s === null ? 0 : degrees;
    const all = own + prior;
    if (all === 0) return unknown;
    return { strikeSd: Math.sqrt((own * (s ?? 0) ** 2 + prior * usual) / all), degrees: all, strikes };
  });
}

/** Spreads of frequency and decay of all partials of a casting, in the order of its partials. */
export function spreadsOf(measurement: TapMeasurement): { frequency: Spread[]; decay: Spread[] } {
  const { partials } = measurement;
  const strikes = usedStrikes(measurement);
  const relative = (spread: number | null, value: number) => (spread === null ? null : spread / value);
  return {
    frequency: moderated(
      partials.map((p) => relative(p.strikeSpreadHz, p.frequencyHz.value)),
      strikes,
    ),
    decay: moderated(
      partials.map((p) => relative(p.strikeSpreadS, p.decayTimeS.value)),
      strikes,
    ),
  };
}

/** @param fitSd standard error of the logarithm by the fit */
export function errorOf({ strikeSd, degrees, strikes }: Spread, fitSd: number): LogError {
  if (strikeSd === null) return { strikeSd, sd: fitSd, degrees };
  return { strikeSd, sd: Math.max(strikeSd / Math.sqrt(strikes), fitSd), degrees };
}
