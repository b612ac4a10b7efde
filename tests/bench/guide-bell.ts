import type { Recording } from "../../src/audio/index.ts";
import type { TapMeasurement } from "../../src/measurement/index.ts";
import { measureTap, type TapInput } from "../../src/tap/index.ts";
import {
  type BellPlan,
  decayRateOfT60,
  makeRandom,
  renderBell,
  type TrueMode,
  whiteNoise,
} from "../support/synthetic/index.ts";

/** An invented small bell, not yet tuned: multiple of the prime, 60 dB time, level at the strike. */
export const GUIDE_BELL: { name: string; ratio: number; t60S: number; levelDb: number }[] = [
  { name: "hum", ratio: 0.4975, t60S: 16, levelDb: -9 },
  { name: "prime", ratio: 1, t60S: 8, levelDb: -6 },
  { name: "tierce", ratio: 1.19, t60S: 6, levelDb: -3 },
  { name: "quint", ratio: 1.52, t60S: 4, levelDb: -12 },
  { name: "nominal", ratio: 2, t60S: 3, levelDb: 0 },
  { name: "superquint", ratio: 3.02, t60S: 1.5, levelDb: -6 },
  { name: "octave nominal", ratio: 4.12, t60S: 1, levelDb: -9 },
];

export const PRIME_HZ = 500;
const SAMPLE_RATE_HZ = 16000;
/** Amplitude of the second member of a split prime over that of the first. */
const MEMBER_RATIO = 0.6;
/** Keeps the sum of all partials, were they ever in step, under full scale. */
const SCALE = 0.15;

/** How one strike is recorded. */
export interface Setting {
  /** From the strike to the end of the recording. */
  recordS: number;
  /** Peak of the strike over the rms of the noise. */
  peakOverNoiseDb: number;
  quietS: number;
  /** 0: the prime is one line. */
  splitHz: number;
  artefacts: BellPlan["artefacts"];
}

export const USUAL: Setting = {
  recordS: 12,
  peakOverNoiseDb: 40,
  quietS: 1,
  splitHz: 0,
  artefacts: {},
};

/** The modes of the invented bell; every strike has phases and levels (1.5 dB) of its own. */
function guideModes(splitHz: number, seed: number): TrueMode[] {
  const random = makeRandom(seed);
  const modeAt = (frequencyHz: number, t60S: number, level: number): TrueMode => ({
    frequencyHz,
    decayRatePerS: decayRateOfT60(t60S),
    amplitude: Float64Array.of(level * 10 ** ((1.5 * random.normal()) / 20)),
    phaseRad: Float64Array.of(random.between(-Math.PI, Math.PI)),
  });
  return GUIDE_BELL.flatMap(({ name, ratio, t60S, levelDb }) => {
    const frequencyHz = PRIME_HZ * ratio;
    const level = SCALE * 10 ** (levelDb / 20);
    const mode = modeAt(frequencyHz, t60S, level);
    if (name !== "prime" || splitHz === 0) return [mode];
    return [mode, modeAt(frequencyHz + splitHz, t60S, level * MEMBER_RATIO)];
  });
}

/** One recorded strike of the invented bell, 16 kHz and 16 bits, peak 6 dB under full scale. */
export function guideRecording(setting: Setting, seed: number): { file: string; recording: Recording } {
  const modes = guideModes(setting.splitHz, seed);
  const { artefacts, recordS, quietS, peakOverNoiseDb } = setting;
  const plan = (noiseSd: number) => ({
    sampleRateHz: SAMPLE_RATE_HZ,
    durationS: quietS + recordS,
    quietS,
    modes,
    noise: [whiteNoise(noiseSd)],
    tones: [],
    artefacts,
    peak: null,
  });
  // The noise is set by the peak of the bell without noise.
  const alone = renderBell(plan(0), seed).channels[0];
  const peak = alone.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
  const { channels } = renderBell({ ...plan(peak * 10 ** (-peakOverNoiseDb / 20)), peak: 0.5 }, seed);
  return {
    file: `strike-${seed}.wav`,
    recording: {
      format: "WAV",
      lossy: false,
      sampleRateHz: SAMPLE_RATE_HZ,
      bits: 16,
      channels,
      warnings: [],
    },
  };
}

/** What `ringwright tap` measures on the given strikes of the invented bell; null where it refuses. */
export function tapGuideBell(inputs: TapInput[]): TapMeasurement | null {
  const options = { label: "Invented bell", a4Hz: 440, profile: "minor-third", ridges: null, pins: {} };
  try {
    return measureTap(inputs, options);
  } catch (error) {
    if (error instanceof Error && error.name === "NotMeasurableError") return null;
    throw error;
  }
}
