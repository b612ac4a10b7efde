import type { Recording } from "../../../src/audio/index.ts";
import type { BellTruth, Random, TrueMode } from "../synthetic/index.ts";
import { addDampedSinusoid, decayRateOfT60 } from "../synthetic/modes.ts";

/** A bell that rings in the air, before any recorder has heard it: 1 is the largest sample of the ring alone. */
export interface Take {
  sampleRateHz: number;
  /** Mono. */
  signal: Float64Array;
  onsetSample: number;
  modes: TrueMode[];
  /** Standard deviation of the white noise that the recorder adds. */
  noiseSd: number;
  /** Largest sample of the file, full scale = 1. */
  peak: number;
}

/** Partials of a tuned bell with a minor third over its prime, the pattern that the invented bells lie near. */
const RATIOS = [0.5, 1, 1.2, 1.5, 2, 2.5, 2.67, 3, 4, 5.33, 6.67, 8];

/**
 * An invented sound bell: prime 300 to 1,200 Hz, partials within 1 % of their places; loss factor 0.0003 to 0.0008 at the
 * prime, rising as f^0 to f^0.3, within 20 % of that (the fine church bell of docs/findings.md: median 0.0006, slope 0.16);
 * 0 to -20 dB up to the octave nominal, -15 to -35 dB above; two in five split by 0.02 to 0.2 % of the frequency, members
 * within 14 dB. Levels and shares are common practice, no source. Modes up to 0.4 of the sample rate.
 */
export function drawModes(random: Random, sampleRateHz: number, primeHz: number): TrueMode[] {
  const loss = random.logBetween(3e-4, 8e-4);
  const slope = random.between(0, 0.3);
  return RATIOS.flatMap((ratio) => {
    const frequencyHz = primeHz * ratio * (1 + random.between(-0.01, 0.01));
    const lossFactor = loss * ratio ** slope * Math.exp(0.2 * random.normal());
    const levelDb = ratio > 4 ? random.between(-35, -15) : random.between(-20, 0);
    const first = modeOf(random, frequencyHz, Math.PI * frequencyHz * lossFactor, 10 ** (levelDb / 20));
    const isSplit = random.uniform() < 0.4;
    const second = modeOf(
      random,
      frequencyHz * (1 + random.logBetween(2e-4, 2e-3)),
      first.decayRatePerS * random.between(0.95, 1.05),
      first.amplitude[0] * random.logBetween(0.2, 1),
    );
    if (frequencyHz > 0.4 * sampleRateHz) return [];
    return isSplit ? [first, second] : [first];
  });
}

/** Mostly a sine at the contact, as of a body struck from rest. */
export function modeOf(
  random: Random,
  frequencyHz: number,
  decayRatePerS: number,
  amplitude: number,
): TrueMode {
  const phase = (random.sign() * Math.PI) / 2 + 0.3 * random.normal();
  return {
    frequencyHz,
    decayRatePerS,
    amplitude: Float64Array.of(amplitude),
    phaseRad: Float64Array.of(phase),
  };
}

export const drawPrimeHz = (random: Random): number => random.logBetween(300, 1200);

/** How a take is drawn where a scene wants something of its own. */
export interface TakeOptions {
  sampleRateHz?: number;
  modes?: TrueMode[];
  /** Adds one mode to the signal from a sample on; by default a free decay. */
  sound?: (signal: Float64Array, sampleRateHz: number, start: number, mode: TrueMode) => void;
}

/** One clean strike: 4 to 7 s, half a second to a second of quiet before, noise 60 to 75 dB under the peak. */
export function drawTake(random: Random, options: TakeOptions = {}): Take {
  const sampleRateHz = options.sampleRateHz ?? random.pick([44100, 48000]);
  const modes = options.modes ?? drawModes(random, sampleRateHz, drawPrimeHz(random));
  const signal = new Float64Array(Math.round(random.between(4, 7) * sampleRateHz));
  const onsetSample = Math.round(random.between(0.5, 1) * sampleRateHz);
  for (const mode of modes) (options.sound ?? soundFreely)(signal, sampleRateHz, onsetSample, mode);
  const scale = 1 / largest(signal);
  for (let i = 0; i < signal.length; i++) signal[i] *= scale;
  return {
    sampleRateHz,
    signal,
    onsetSample,
    modes: modes.map((m) => ({ ...m, amplitude: m.amplitude.map((a) => a * scale) })),
    noiseSd: 10 ** (random.between(-75, -60) / 20),
    peak: random.between(0.25, 0.7),
  };
}

export function soundFreely(signal: Float64Array, rateHz: number, start: number, mode: TrueMode): void {
  const { frequencyHz, decayRatePerS, amplitude, phaseRad } = mode;
  addDampedSinusoid(signal, rateHz, start, frequencyHz, decayRatePerS, amplitude[0], phaseRad[0]);
}

/** A thud of wood or a bench: three modes of 80 to 400 Hz that die within 50 to 150 ms (common practice, no source). */
export function addThud(random: Random, signal: Float64Array, rateHz: number, start: number, level: number) {
  for (let i = 0; i < 3; i++) {
    const alpha = decayRateOfT60(random.between(0.05, 0.15));
    const mode = modeOf(random, random.logBetween(80, 400), alpha, level / 3);
    soundFreely(signal, rateHz, start, mode);
  }
}

/** The recorder's own white noise; once a take, where it belongs in the chain. */
export function addRecorderNoise(random: Random, take: Take): Take {
  random.addNormal(take.signal, take.noiseSd);
  return take;
}

const STEP = 1 / 32768;

/** Puts a take into 16 bits, its largest sample at `peak` of full scale; what is over full scale is cut off. */
export function toFile(
  { signal, sampleRateHz, peak }: Take,
  over: Partial<Recording> = {},
): { recording: Recording; gain: number } {
  const gain = peak / largest(signal);
  const channel = new Float32Array(signal.length);
  for (let i = 0; i < signal.length; i++) {
    channel[i] = Math.max(-32768, Math.min(32767, Math.round(signal[i] * gain * 32768))) * STEP;
  }
  const facts = { format: "WAV", lossy: false, bits: 16, warnings: [] };
  return { recording: { ...facts, sampleRateHz, channels: [channel], ...over }, gain };
}

/** What is known of the file of a take; `over` says what the scene changed. */
export function truthOf(take: Take, gain: number, over: Partial<BellTruth> = {}): BellTruth {
  return {
    sampleRateHz: take.sampleRateHz,
    sampleCount: take.signal.length,
    onsetSample: take.onsetSample,
    lastContactSample: take.onsetSample,
    modes: take.modes
      .map((m) => ({ ...m, amplitude: m.amplitude.map((a) => a * gain) }))
      .sort((a, b) => a.frequencyHz - b.frequencyHz),
    tones: [],
    noiseVariance: () => (take.noiseSd * gain) ** 2 + STEP ** 2 / 12,
    levelIsTrue: false,
    ...over,
  };
}

export function largest(signal: Float64Array): number {
  let most = 0;
  for (let i = 0; i < signal.length; i++) most = Math.max(most, Math.abs(signal[i]));
  return most;
}
