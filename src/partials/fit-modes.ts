import type { NoiseSpectrum } from "../spectrum/index.ts";
import { estimateLines } from "./estimate-lines.ts";
import { LISTED_RHO } from "./free-estimate.ts";
import type { MeasuredGlide } from "./glide.ts";
import { labelLines } from "./label-lines.ts";
import type { CombinationLine, Mode, SteadyLine } from "./mode.ts";
import type { OtherSound } from "./other-sound.ts";
import { soundsInQuiet } from "./quiet-tones.ts";
import { quietNoise, type RingDown } from "./ring-down.ts";
import type { StableLine } from "./stabilise.ts";

export interface ModeFit {
  /** Ascending in frequency. */
  modes: Mode[];
  steady: SteadyLine[];
  combinations: CombinationLine[];
  /** False: the ring is no sum of free decays at all: the lines leave much of its energy over. */
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
/** Where the lines leave more than this part of the ring's energy over (-11 dB), it is no sum of free decays: of 33 recordings of bells one leaves 0.13, the others 0.0003 to 0.025. */
const MOST_LEFT = 0.08;
/** A line is certain in frequency where its standard deviation is under this part of its decay rate, or of its frequency (half a cent). */
const CERTAIN_LINEWIDTH = 0.1;
const CERTAIN_FREQUENCY = 3e-4;
/** A weak line that falls by so many nepers over the record (26 dB) must have a rate known to a fifth. */
const WEAK_RHO = 1000;
const DIES = 3;
const KNOWN_RATE = 0.2;

/**
 * Measures the modes of one ring-down: damped sinusoids fitted jointly on the DFT bins of all channels (common poles, own
 * amplitudes), kept where they are stable between stretches of the ring, sorted into modes, interference and combinations.
 * Method and sources: docs/method.md.
 */
export function fitModes(ring: RingDown): ModeFit {
  const estimate = estimateLines(ring);
  const recordS = (ring.endSample - ring.ringStartSample) / ring.sampleRateHz;
  const noise = estimate.search ? estimate.search.noise[0] : quietNoise(ring).noise;
  const clear = estimate.lines.filter(
    (l) => l.line.rho > LISTED_RHO && (estimate.freeDecay || isCertain(l, recordS)),
  );
  const departs = !estimate.freeDecay;
  const lines = clear
    .filter((l) => canBeCarried(l, sinceOnsetS(l, ring, estimate.startSample), departs))
    .map((l) => atOnset(l, ring, estimate.startSample));
  const labelled = labelLines(
    lines,
    estimate.freeDecay ? 0 : DEPARTING_FLOOR_DB,
    recordS,
    soundsInQuiet(ring, noise),
  );
  const delays = clear.map((l) => l.early.delayS);
  const chis = clear.map((l) => l.line.chi).sort((a, b) => a - b);
  return {
    ...ascending(labelled.modes, labelled.combinations),
    steady: labelled.steady.sort((a, b) => a.frequencyHz - b.frequencyHz),
    freeDecay: estimate.leftShare < MOST_LEFT,
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

function isCertain({ line, sdOmega, sdAlpha }: StableLine, recordS: number): boolean {
  // What dies within the record shows its rate; noise around strong lines, as of lossy coding, shows none.
  if (line.rho < WEAK_RHO && line.alpha * recordS > DIES && sdAlpha > KNOWN_RATE * line.alpha) return false;
  return sdOmega < Math.max(CERTAIN_LINEWIDTH * line.alpha, CERTAIN_FREQUENCY * line.omega);
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
