import type { NoiseSpectrum } from "../spectrum/index.ts";
import { estimateLines } from "./estimate-lines.ts";
import { LISTED_RHO } from "./free-estimate.ts";
import type { MeasuredGlide } from "./glide.ts";
import { labelLines } from "./label-lines.ts";
import type { CombinationLine, Mode, SteadyLine } from "./mode.ts";
import type { OtherSound } from "./other-sound.ts";
import { quietNoise, type RingDown } from "./ring-down.ts";
import type { StableLine } from "./stabilise.ts";

export interface ModeFit {
  /** Ascending in frequency. */
  modes: Mode[];
  steady: SteadyLine[];
  combinations: CombinationLine[];
  /** False: the ring is no bell's free decay at all: far too many lines, or hardly any that the starts agree upon. */
  freeDecay: boolean;
  /** True: its early part departs from free decays; values then rest on what starts agree upon, with their scatter. */
  departs: boolean;
  /** A glide that all frequencies share and that was taken off before, or null; the values are those it settles to. */
  glide: MeasuredGlide | null;
  /** How much louder the noise beside lines that sound is than in the quiet, dB, where it goes with them, its standard error, and over how many lines; or null. */
  passedNoise: { aboveQuietDb: number; sdDb: number; lines: number } | null;
  /** A sound that sets in between the lines while the bell rings, or null. */
  otherSound: OtherSound | null;
  /** First sample that any of the values rests on. */
  startSample: number;
  noiseFrom: "before the strike" | "after the ring" | "the residual";
  /** Noise variance per sample against frequency, one curve a channel. */
  noise: NoiseSpectrum[];
  medianChi: number;
  linesTried: number;
  stopReason: string;
}

/** In a ring that is not free decays, what lies this far under the strongest is not told from its misfit and distortion. */
const DEPARTING_FLOOR_DB = 75;
/**
 * A line that has fallen by more nepers than this (40 dB) before the fit began tells nothing of the strike, unless it was
 * waited for the ring to settle and its decay is known so well that the amplitude there is known to this many nepers (3 dB).
 */
const CARRIED_BACK = 4.6;
const CARRIED_ERROR = 0.35;
/** More lines than this, where the ring departs from free decays, are no longer a bell's; that many are listed. */
const MOST_DEPARTING = 40;
/** Fewer than these few stable lines say nothing of a bell. */
const FEWEST_DEPARTING = 3;

/**
 * Measures the modes of one ring-down: damped sinusoids fitted jointly on the DFT bins of all channels (common poles, own
 * amplitudes), kept where they are stable between stretches of the ring, sorted into modes, interference and combinations.
 * Method and sources: docs/method.md.
 */
export function fitModes(ring: RingDown): ModeFit {
  const estimate = estimateLines(ring);
  const noise = estimate.search ? estimate.search.noise[0] : quietNoise(ring).noise;
  const clear = estimate.lines.filter(
    (l) => l.line.rho / (estimate.freeDecay ? 1 : Math.max(1, l.line.chi)) > LISTED_RHO,
  );
  const departs = !estimate.freeDecay;
  const lines = clear
    .filter((l) => canBeCarried(l, sinceOnsetS(l, ring, estimate.startSample), departs))
    .map((l) => atOnset(l, ring, estimate.startSample));
  const recordS = (ring.endSample - ring.ringStartSample) / ring.sampleRateHz;
  const labelled = labelLines(lines, estimate.freeDecay ? 0 : DEPARTING_FLOOR_DB, recordS);
  let modes = labelled.modes;
  let combinations = labelled.combinations;
  const tooMany = departs && modes.length > MOST_DEPARTING;
  if (tooMany) {
    const strongest = new Set(
      [...modes].sort((a, b) => b.rho / b.chi - a.rho / a.chi).slice(0, MOST_DEPARTING),
    );
    combinations = [];
    modes = modes.filter((m) => strongest.has(m));
  }
  const delays = clear.map((l) => l.early.delayS);
  const chis = clear.map((l) => l.line.chi).sort((a, b) => a - b);
  return {
    ...ascending(modes, combinations),
    steady: labelled.steady.sort((a, b) => a.frequencyHz - b.frequencyHz),
    freeDecay: !tooMany && (!departs || modes.length >= FEWEST_DEPARTING),
    departs,
    glide: estimate.glide,
    passedNoise: estimate.passed && {
      aboveQuietDb: estimate.passed.aboveQuietDb,
      sdDb: estimate.passed.sdDb,
      lines: estimate.passed.lines,
    },
    otherSound: estimate.other,
    startSample:
      estimate.startSample + Math.round((delays.length ? Math.min(...delays) : 0) * ring.sampleRateHz),
    noiseFrom: estimate.noiseFrom,
    noise,
    medianChi: chis.length ? chis[chis.length >> 1] : 0,
    linesTried: estimate.tried,
    stopReason: estimate.stopReason,
  };
}

function canBeCarried({ early, sdAlpha }: StableLine, timeS: number, departs: boolean): boolean {
  return early.line.alpha * timeS < CARRIED_BACK || (departs && sdAlpha * timeS < CARRIED_ERROR);
}

function ascending(
  modes: Mode[],
  combinations: CombinationLine[],
): { modes: Mode[]; combinations: CombinationLine[] } {
  const order = modes.map((_, i) => i).sort((a, b) => modes[a].frequencyHz - modes[b].frequencyHz);
  const place = new Map(order.map((from, to) => [from, to]));
  const moved = combinations.map((c) => ({ ...c, of: c.of.map((i) => place.get(i)!).sort((a, b) => a - b) }));
  return {
    modes: order.map((i) => modes[i]),
    combinations: moved.sort((a, b) => a.frequencyHz - b.frequencyHz),
  };
}

/** Seconds from the first contact to the earliest start that has the line. */
function sinceOnsetS(stable: StableLine, ring: RingDown, startSample: number): number {
  return (startSample - ring.onsetSample) / ring.sampleRateHz + stable.early.delayS;
}

/** Carries amplitude and phase from the earliest start that has the line back to the first contact, errors with them. */
function atOnset(stable: StableLine, ring: RingDown, startSample: number): Mode {
  const { line } = stable;
  const early = stable.early.line;
  const t = sinceOnsetS(stable, ring, startSample);
  const gain = 2 * Math.exp(early.alpha * t);
  const phase = (re: number, im: number) => {
    const p = Math.atan2(im, re) - early.omega * t;
    return p - 2 * Math.PI * Math.round(p / (2 * Math.PI));
  };
  const variance = early.sdLogAmplitude ** 2;
  // Where one start serves for all, the fit's own covariance of amplitude and decay counts; else their errors are apart.
  const sdAlpha = early === line ? stable.sdAlpha : early.sdAlpha;
  const sdOmega = early === line ? stable.sdOmega : early.sdOmega;
  const cross = 2 * t * early.covLogAmplitudeAlpha;
  const carried = variance + (t * sdAlpha) ** 2 + cross;
  return {
    frequencyHz: line.omega / (2 * Math.PI),
    frequencySdHz: stable.sdOmega / (2 * Math.PI),
    decayRatePerS: line.alpha,
    decayRateSdPerS: stable.sdAlpha,
    amplitude: early.cRe.map((re, c) => gain * Math.hypot(re, early.cIm[c])),
    logAmplitudeSd: Math.sqrt(Math.max(variance / 4, carried)),
    phaseRad: early.cRe.map((re, c) => phase(re, early.cIm[c])),
    phaseSdRad: Math.sqrt(Math.max(variance / 4, variance + (t * sdOmega) ** 2 + cross)),
    rho: line.rho,
    chi: line.chi,
    seenIn: stable.seenIn,
  };
}
