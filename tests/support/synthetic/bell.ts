import { type Artefacts, addArtefacts, bouncedAmplitudes } from "./artefacts.ts";
import { addDampedSinusoid, addGlidingSinusoid, type TrueMode } from "./modes.ts";
import { addNoise, type NoiseColour, noiseVarianceAt } from "./noise.ts";
import { makeRandom } from "./random.ts";

/** A tone that neither starts nor decays: mains hum, a whistling supply. */
export interface SteadyTone {
  frequencyHz: number;
  /** Per channel, full scale = 1. */
  amplitude: Float64Array;
}

/** Everything that makes a synthetic recording; amplitudes and noise share one arbitrary scale. */
export interface BellPlan {
  sampleRateHz: number;
  durationS: number;
  /** Quiet before the first contact. */
  quietS: number;
  /** As struck by the first contact alone. */
  modes: TrueMode[];
  /** One a channel. */
  noise: NoiseColour[];
  tones: SteadyTone[];
  artefacts: Artefacts;
  /** Largest sample after scaling, full scale = 1; null leaves the scale alone. */
  peak: number | null;
}

/** What is known about a synthetic recording. Samples count from its start; amplitudes are full scale = 1. */
export interface BellTruth {
  sampleRateHz: number;
  sampleCount: number;
  /** First contact: amplitudes and phases of the modes are those here. */
  onsetSample: number;
  /** Contacts after this one there are none. */
  lastContactSample: number;
  /** Ascending in frequency. */
  modes: TrueMode[];
  tones: SteadyTone[];
  /** Noise variance per sample that white noise of the density at this frequency would have, 16-bit rounding included. */
  noiseVariance(frequencyHz: number, channel: number): number;
  /** False where the level at the strike is not that of the modes (a room adds to it, a gain control changes it). */
  levelIsTrue: boolean;
}

export interface SyntheticBell {
  sampleRateHz: number;
  /** Rounded to 16 bits. */
  channels: Float32Array[];
  truth: BellTruth;
}

const LSB = 1 / 32768;

/** Renders a plan. The same plan and seed give the same samples. Sum of modes, artefacts, tones, noise, scaling, rounding. */
export function renderBell(plan: BellPlan, seed: number): SyntheticBell {
  const { sampleRateHz, artefacts } = plan;
  const random = makeRandom(seed);
  const sampleCount = Math.round(plan.durationS * sampleRateHz);
  const onsetSample = Math.round(plan.quietS * sampleRateHz);
  const contacts = artefacts.contacts ?? [{ delayS: 0, strength: 1 }];
  const lastContactSample = onsetSample + Math.round(contacts[contacts.length - 1].delayS * sampleRateHz);
  const signals = plan.noise.map((colour, channel) => {
    const signal = new Float64Array(sampleCount);
    for (const mode of plan.modes) {
      if (artefacts.glide) {
        addGlidingSinusoid(signal, sampleRateHz, onsetSample, mode, channel, artefacts.glide);
        continue;
      }
      for (const { delayS, strength } of contacts) {
        const start = onsetSample + Math.round(delayS * sampleRateHz);
        const amplitude = strength * mode.amplitude[channel];
        const phase = mode.phaseRad[channel];
        addDampedSinusoid(
          signal,
          sampleRateHz,
          start,
          mode.frequencyHz,
          mode.decayRatePerS,
          amplitude,
          phase,
        );
      }
    }
    addArtefacts(signal, sampleRateHz, onsetSample, artefacts, random);
    for (const tone of plan.tones) {
      const phase = 2 * Math.PI * random.uniform();
      addDampedSinusoid(signal, sampleRateHz, 0, tone.frequencyHz, 0, tone.amplitude[channel], phase);
    }
    addNoise(signal, colour, random);
    return signal;
  });
  const scale = plan.peak === null ? 1 : plan.peak / largest(signals);
  const channels = signals.map((signal) => roundTo16Bits(signal, scale));
  const noise = plan.noise.map((colour) => ({ ...colour, sd: colour.sd * scale }));
  const truth: BellTruth = {
    sampleRateHz,
    sampleCount,
    onsetSample,
    lastContactSample,
    modes: plan.modes
      .map((mode) => scaled(bouncedAmplitudes(mode, contacts, sampleRateHz), scale))
      .sort((a, b) => a.frequencyHz - b.frequencyHz),
    tones: plan.tones.map((tone) => ({ ...tone, amplitude: tone.amplitude.map((a) => a * scale) })),
    noiseVariance: (frequencyHz, channel) =>
      noiseVarianceAt(noise[channel], frequencyHz, sampleRateHz) + LSB ** 2 / 12,
    levelIsTrue: !artefacts.room && !artefacts.gainControl,
  };
  return { sampleRateHz, channels, truth };
}

function scaled(mode: TrueMode, scale: number): TrueMode {
  return { ...mode, amplitude: mode.amplitude.map((a) => a * scale) };
}

function largest(signals: Float64Array[]): number {
  let peak = 0;
  for (const signal of signals) for (const x of signal) peak = Math.max(peak, Math.abs(x));
  return peak;
}

function roundTo16Bits(signal: Float64Array, scale: number): Float32Array {
  const out = new Float32Array(signal.length);
  for (let i = 0; i < signal.length; i++) {
    const level = Math.round(signal[i] * scale * 32768);
    out[i] = Math.max(-32768, Math.min(32767, level)) * LSB;
  }
  return out;
}
