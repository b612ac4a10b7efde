import type { NoiseSpectrum } from "../spectrum/index.ts";
import { type Baseband, basebandOf, LONGEST_BASEBAND_S } from "./baseband.ts";
import { detect } from "./detect.ts";
import { firstGlides } from "./first-glide.ts";
import type { FitScratch } from "./fit-band.ts";
import { fitGlide, type GlideFit, type GlideSetting } from "./fit-glide.ts";
import type { Glide } from "./glide.ts";
import { updateResidual } from "./residual.ts";
import type { RingDown, SearchOpener } from "./ring-down.ts";
import { FREE_DECAY_SHARE } from "./start.ts";
import { unwarped } from "./unwarp.ts";

const MOST_BANDS = 8;
const FEWEST_BANDS = 3;
/** Strong lines nearer than this part of their frequency are of one band. */
const APART = 0.04;
/** Glides of the first look that are followed to the end. */
const FOLLOWED = 3;
/**
 * A line that decays by another clock than that of its phase departs from an exponential by 0.08 of the glide at the most (rms; worst
 * at alpha timeConstant = 1). One more line would follow it: over a band of a hundred bins it stays under the 15 nats of one when
 * so much of each bin is called noise.
 */
const LEFT_OVER = 0.2;
/** The glide is fitted anew until it moves no more than its errors. */
const MOST_ROUNDS = 5;
/** A glide smaller than this many standard errors is none. */
const SIGNIFICANT = 5;

/**
 * The glide that the strongest bands have in common, or null where there is none or it does not explain them.
 * 1. What the instantaneous frequencies follow (firstGlides), fitted with one line a band.
 * 2. Fitted anew on the unwarped sound, with more lines where they stand out, until it moves no more than its errors.
 * 3. What is left over, by the lines and by the errors of the glide, must be as little as in free decays.
 */
export function commonGlide(ring: RingDown, noise: NoiseSpectrum[], open: SearchOpener): GlideFit | null {
  const search = open(ring.ringStartSample, 0);
  if (search === null) return null;
  updateResidual(search, false);
  const strong: number[] = [];
  for (const { frequencyHz } of detect(search, 0)) {
    if (strong.length < MOST_BANDS && strong.every((f) => Math.abs(f / frequencyHz - 1) > APART))
      strong.push(frequencyHz);
  }
  const basebands = (of: RingDown): Baseband[] =>
    strong.map((f) => basebandOf(of, f, noise)).filter((b) => b !== null);
  const raw = basebands(ring);
  if (raw.length < FEWEST_BANDS) return null;
  const none = { amount: 0, timeConstantS: 1 };
  const asHeard: GlideSetting = { taken: none, decaysIn: "t", rates: null, departure: () => 0 };
  // With one line a band: more of them would follow a wrong glide.
  const coarse = firstGlides(raw)
    .slice(0, FOLLOWED)
    .map((first) => fitGlide(raw, first, asHeard, search.scratch, null, false))
    .reduce((a, b) => (b.left < a.left ? b : a));
  let known = coarse;
  for (let round = 0; round < MOST_ROUNDS && isSignificant(known); round++) {
    const next = refined(ring, basebands, known, search.scratch);
    const settled = isWithinErrors(known.glide, next);
    known = next;
    if (settled) return explains(known, raw) ? known : null;
  }
  return null;
}

function isWithinErrors({ amount, timeConstantS }: Glide, { glide, covariance }: GlideFit): boolean {
  return (
    (glide.amount - amount) ** 2 < covariance[0] &&
    Math.log(glide.timeConstantS / timeConstantS) ** 2 < covariance[2]
  );
}

/** What it leaves over, and what its errors leave over, is no more than in free decays: other motions are no such glide. */
function explains(fit: GlideFit, basebands: Baseband[]): boolean {
  const middle = basebands.map((b) => b.omega).sort((a, b) => a - b)[basebands.length >> 1];
  return isSignificant(fit) && fit.share < FREE_DECAY_SHARE && departureOf(fit)(middle) < FREE_DECAY_SHARE;
}

/**
 * The fit once more, on the sound with the glide off, where lines beside the carrier and the length of the window no longer
 * matter: as many lines in each band as stand out of what the error of the glide leaves, by the clock that leaves less over.
 */
function refined(
  ring: RingDown,
  basebands: (of: RingDown) => Baseband[],
  known: GlideFit,
  scratch: FitScratch,
): GlideFit {
  const { glide, rates } = known;
  const endSample = Math.min(
    ring.endSample,
    ring.ringStartSample + Math.ceil(LONGEST_BASEBAND_S * ring.sampleRateHz),
  );
  const flat = basebands(unwarped({ ...ring, endSample }, glide));
  const setting: GlideSetting = { taken: glide, decaysIn: "t", rates, departure: departureOf(known) };
  const grown = fitGlide(flat, glide, setting, scratch, null, true);
  const [t, u] = (["t", "u"] as const).map((decaysIn) =>
    fitGlide(flat, grown.glide, { ...setting, decaysIn, departure: () => 0 }, scratch, grown.poles, false),
  );
  return t.left <= u.left ? t : u;
}

/**
 * What is left of lines where the glide is known so well: the clock of their decay, and two standard errors of the delay, of
 * which, as of the glide, the lines cannot follow LEFT_OVER.
 */
export function departureOf({
  glide: { amount, timeConstantS },
  covariance: [aa, at, tt],
}: GlideFit): (omega: number) => number {
  const delayVariance = timeConstantS ** 2 * (aa + 2 * amount * at + amount ** 2 * tt);
  return (omega) => LEFT_OVER ** 2 * (amount ** 2 + (2 * omega) ** 2 * Math.max(0, delayVariance));
}

function isSignificant({ glide, covariance }: GlideFit): boolean {
  return Math.abs(glide.amount) > SIGNIFICANT * Math.sqrt(covariance[0]);
}
