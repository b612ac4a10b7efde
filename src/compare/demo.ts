import type { CastingFacts } from "./comparison.ts";
import demo from "./data/demo.json" with { type: "json" };

/** An invented casting with its computed recording. */
export interface DemoCasting extends CastingFacts {
  file: string;
  sampleRateHz: number;
  /** One channel, full scale = 1. */
  samples: Float32Array;
}

export interface Demo {
  /** What was invented, to stand on every result. */
  scenario: string;
  castings: DemoCasting[];
}

const SEED = 20;
const LN_1000 = Math.log(1000);
/** The rod's own contact: a burst of noise that is gone at once. */
const CONTACT_S = 0.002;
const CONTACT_LEVEL = 0.3;

/** Uniform numbers in [0, 1), the same on every machine (mulberry32, public domain). */
function uniform(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let z = Math.imul(state ^ (state >>> 15), state | 1);
    z ^= z + Math.imul(z ^ (z >>> 7), z | 61);
    return ((z ^ (z >>> 14)) >>> 0) / 2 ** 32;
  };
}

/** Nearly normal deviates of standard deviation 1: twelve uniform ones less their mean. */
function normal(random: () => number): number {
  let sum = -6;
  for (let i = 0; i < 12; i++) sum += random();
  return sum;
}

interface Line {
  frequencyHz: number;
  decayRatePerS: number;
  amplitude: number;
  phaseRad: number;
}

/** Adds one damped sinusoid from sample `from` on. */
function addLine(samples: Float32Array, from: number, sampleRateHz: number, line: Line): void {
  const shrink = Math.exp(-line.decayRatePerS / sampleRateHz);
  const turn = (2 * Math.PI * line.frequencyHz) / sampleRateHz;
  const stepRe = shrink * Math.cos(turn);
  const stepIm = shrink * Math.sin(turn);
  let re = line.amplitude * Math.cos(line.phaseRad);
  let im = line.amplitude * Math.sin(line.phaseRad);
  for (let i = from; i < samples.length; i++) {
    samples[i] += re;
    const next = re * stepRe - im * stepIm;
    im = re * stepIm + im * stepRe;
    re = next;
  }
}

/** The lines of one strike: the casting's own, each a little different from strike to strike, waked as the blow fell. */
function strikeLines(casting: (typeof demo.castings)[number], random: () => number): Line[] {
  const { frequency, decay, levelDb } = demo.strikeSpread;
  return demo.partials.flatMap((partial, i): Line[] => {
    const frequencyHz = partial.frequencyHz * casting.frequencyRatio * (1 + frequency * normal(random));
    const t60S = partial.t60S * casting.decayRatios[i] * (1 + decay * normal(random));
    const level = partial.levelDb + levelDb * normal(random);
    const line = (offsetHz: number, lessDb: number): Line => ({
      frequencyHz: frequencyHz + offsetHz,
      decayRatePerS: LN_1000 / t60S,
      amplitude: 10 ** ((level - lessDb) / 20),
      phaseRad: 2 * Math.PI * random(),
    });
    return partial.splitHz === null
      ? [line(0, 0)]
      : [line(-partial.splitHz / 2, 0), line(partial.splitHz / 2, partial.weakerDb)];
  });
}

/** Brings the peak to a level and adds the noise of a quiet room. */
function finish(samples: Float32Array, peak: number, random: () => number): void {
  let most = 0;
  for (const sample of samples) most = Math.max(most, Math.abs(sample));
  const noise = 10 ** (demo.noiseLevelDb / 20);
  for (let i = 0; i < samples.length; i++) samples[i] = (peak * samples[i]) / most + noise * normal(random);
}

/** The invented castings of the demonstration, the same at every call. */
export function demoCastings(): Demo {
  const { sampleRateHz, strikeEveryS, leadS, strikes } = demo;
  const random = uniform(SEED);
  const castings = demo.castings.map((casting): DemoCasting => {
    const samples = new Float32Array(Math.round(sampleRateHz * (leadS + strikes * strikeEveryS)));
    for (let strike = 0; strike < strikes; strike++) {
      const from = Math.round(sampleRateHz * (leadS + strike * strikeEveryS));
      // A hand stops the bell before the next strike.
      const ring = new Float32Array(Math.round(sampleRateHz * (strikeEveryS - 0.5)));
      for (const line of strikeLines(casting, random)) addLine(ring, 0, sampleRateHz, line);
      const contact = Math.round(CONTACT_S * sampleRateHz);
      for (let i = 0; i < contact; i++) ring[i] += CONTACT_LEVEL * (1 - i / contact) * normal(random);
      const fade = Math.round(0.05 * sampleRateHz);
      for (let i = 0; i < fade; i++) ring[ring.length - 1 - i] *= i / fade;
      for (let i = 0; i < ring.length; i++) samples[from + i] += ring[i];
    }
    finish(samples, casting.peak, random);
    const { label, file, alloy, massKg, diameterM } = casting;
    return { label, file, alloy, massKg, diameterM, sampleRateHz, samples };
  });
  return { scenario: demo.scenario, castings };
}
