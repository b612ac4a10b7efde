import type { Recording } from "../../src/audio/index.ts";
import type { TapOptions } from "../../src/measurement/index.ts";
import type { Mode, ModeFit, RingDown } from "../../src/partials/index.ts";
import {
  type BellPlan,
  decayRateOfT60,
  renderBell,
  type SyntheticBell,
  type TrueMode,
  whiteNoise,
} from "../support/synthetic/index.ts";

export const OPTIONS: TapOptions = {
  label: "Invented bell",
  a4Hz: 440,
  profile: "minor-third",
  ridges: null,
  pins: {},
};

/** A measured mode, well over the noise, at any frequency. */
export function modeAt(frequencyHz: number, over: Partial<Mode> = {}): Mode {
  return {
    frequencyHz,
    frequencySdHz: 0.01,
    decayRatePerS: 2,
    decayRateSdPerS: 0.02,
    amplitude: Float64Array.of(0.1),
    logAmplitudeSd: 0.01,
    phaseRad: Float64Array.of(0),
    phaseSdRad: 0.01,
    rho: 1e6,
    chi: 1,
    seenIn: ["later stretch"],
    ...over,
  };
}

/** The modes of a synthetic bell as if they had been measured without error. */
export function modesOf(truth: TrueMode[]): Mode[] {
  return truth.map((m) =>
    modeAt(m.frequencyHz, {
      decayRatePerS: m.decayRatePerS,
      amplitude: m.amplitude,
      phaseRad: m.phaseRad,
    }),
  );
}

export function fitOf(modes: Mode[], over: Partial<ModeFit> = {}): ModeFit {
  return {
    modes,
    steady: [],
    combinations: [],
    freeDecay: true,
    departs: false,
    glide: null,
    passedNoise: null,
    otherSound: null,
    startSample: 0,
    noiseFrom: "before the strike",
    noise: [{ centresHz: Float64Array.of(20, 20000), variance: Float64Array.of(1e-10, 1e-10) }],
    medianChi: 1,
    linesTried: modes.length,
    stopReason: "no candidate is left",
    ...over,
  };
}

export function ringOfBell(bell: SyntheticBell): RingDown {
  const { truth, channels, sampleRateHz } = bell;
  return {
    channels,
    sampleRateHz,
    onsetSample: truth.onsetSample,
    ringStartSample: truth.lastContactSample,
    endSample: truth.sampleCount,
    bounced: false,
    quiet: null,
    noiseFloor: 1e-12,
  };
}

export function recordingOf(
  channels: Float32Array[],
  sampleRateHz: number,
  over: Partial<Recording> = {},
): Recording {
  return { format: "WAV", lossy: false, sampleRateHz, bits: 16, channels, warnings: [], ...over };
}

/** Multiples of the prime of a tuned minor-third bell, with the 60 dB times and levels of a small clear casting. */
const TUNED: [ratio: number, t60S: number, amplitude: number][] = [
  [0.5, 6, 0.6],
  [1, 4, 0.8],
  [1.2, 3.5, 1],
  [1.5, 2.5, 0.4],
  [2, 2, 0.9],
  [3, 1.2, 0.5],
  [4, 0.8, 0.3],
];

/** An invented tuned bell: strike phases near a sine, one amplitude a channel. */
export function tunedModes(primeHz: number, gains: number[] = [1]): TrueMode[] {
  return TUNED.map(([ratio, t60S, amplitude], k) => ({
    frequencyHz: primeHz * ratio,
    decayRatePerS: decayRateOfT60(t60S),
    amplitude: Float64Array.from(gains, (g, c) => amplitude * g * (1 + 0.2 * Math.cos(k + 2 * c))),
    phaseRad: Float64Array.from(gains, (_, c) => -Math.PI / 2 + 0.2 * Math.sin(k + c)),
  }));
}

export function planOf(modes: TrueMode[], over: Partial<BellPlan> = {}): BellPlan {
  return {
    sampleRateHz: 16000,
    durationS: 2.5,
    quietS: 0.5,
    modes,
    noise: Array.from(modes[0].amplitude, () => whiteNoise(1e-4)),
    tones: [],
    artefacts: {},
    peak: 0.5,
    ...over,
  };
}

export function struck(modes: TrueMode[], seed: number, over: Partial<BellPlan> = {}): SyntheticBell {
  return renderBell(planOf(modes, over), seed);
}

/** One recording after the other, channel by channel. */
export function concatenate(parts: Float32Array[][]): Float32Array[] {
  return parts[0].map((_, c) => {
    const out = new Float32Array(parts.reduce((n, p) => n + p[c].length, 0));
    let at = 0;
    for (const part of parts) {
      out.set(part[c], at);
      at += part[c].length;
    }
    return out;
  });
}
