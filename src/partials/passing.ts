import type { PassedNoise } from "./passed-noise.ts";
import { type RingDown, type SearchOpener, searchOpener } from "./ring-down.ts";
import type { StableLine } from "./stabilise.ts";

/** What is left of a line while the outer bands of its spectrum close one by one, as part of its energy (-50 dB). */
const LEFT_OVER = 1e-5;
/** What decays so many times as fast as a stronger line within one and a half linewidths is no partner of it. */
const OPENING_RATE = 3;

/**
 * So much of the amplitude of a line is lost where it closes, twenty decibels over the level at which the noise beside it goes: its outer
 * bands go before. With half-sine windows of 512 samples 3 % by arithmetic, and up to three times as much where a line decays so fast that
 * the level is seen too low.
 */
const LOST_AT_CLOSING = 0.1;
/** Before, the loss grows as this power of the level falls (by the same arithmetic, from 20 to 50 dB over the noise). */
const LOSS_POWER = 1.5;
const INTEGRATED = 64;

/** Opens searches in the ring of a recorder that lets only through what stands out of the noise: each line is looked at for as long as its band is open. */
export function passingOpener(ring: RingDown, passed: PassedNoise): SearchOpener {
  const { noise } = passed;
  const open = searchOpener(ring, noise);
  return (startSample, misfit, endSample) => {
    const search = open(startSample, misfit, endSample);
    if (search === null) return null;
    search.departure = () => LEFT_OVER;
    search.passing = { noise, openS: (omega) => openAfterS(passed, omega, startSample, ring.sampleRateHz) };
    return search;
  };
}

/** For how long after a sample sound of an angular frequency comes through in full, s; under 0 where it does no more. */
const openAfterS = (
  { closesAt }: Pick<PassedNoise, "closesAt">,
  omega: number,
  sample: number,
  sampleRateHz: number,
): number => (closesAt(omega / (2 * Math.PI)) - sample) / sampleRateHz;

/** Without the gain that still rises as bands open, which is a weak fast line at the frequency of a strong one. */
export function withoutOpenings(lines: StableLine[]): StableLine[] {
  return lines.filter(
    ({ line }) =>
      !lines.some(
        ({ line: strong }) =>
          strong.rho > line.rho &&
          line.alpha > OPENING_RATE * strong.alpha &&
          Math.abs(strong.omega - line.omega) < 3 * line.alpha,
      ),
  );
}

/**
 * Lines that are open for long enough to be fitted at all, their decay rates with the error that bands which close make: it is no
 * scatter, so fits from later starts do not show it.
 *
 * @param startSample from which the delays of the lines count
 * @param shortestS of the shortest transform
 */
export function whileOpen(
  lines: StableLine[],
  passed: Pick<PassedNoise, "closesAt">,
  startSample: number,
  sampleRateHz: number,
  shortestS: number,
): StableLine[] {
  return lines.flatMap((stable) => {
    const { omega, alpha } = stable.line;
    const openS = openAfterS(passed, omega, startSample, sampleRateHz) - stable.delayS;
    if (openS < shortestS) return [];
    return [{ ...stable, sdAlpha: Math.hypot(stable.sdAlpha, closingError(alpha, openS) / 2) }];
  });
}

/** By how much a fit over all the time that a line is open sees it decay too fast, 1/s: the slope of its lost logarithm, weighted by its power. */
export function closingError(alpha: number, openS: number): number {
  if (!Number.isFinite(openS) || openS <= 0 || !(alpha > 0)) return 0;
  let sum = 0;
  let time = 0;
  let lost = 0;
  let times = 0;
  let slope = 0;
  for (let i = 0; i < INTEGRATED; i++) {
    const t = (openS * (i + 0.5)) / INTEGRATED;
    const weight = Math.exp(-2 * alpha * t);
    const loss = LOST_AT_CLOSING * Math.exp(-LOSS_POWER * alpha * (openS - t));
    sum += weight;
    time += weight * t;
    lost += weight * loss;
    times += weight * t * t;
    slope += weight * t * loss;
  }
  return (slope - (time * lost) / sum) / (times - (time * time) / sum);
}
