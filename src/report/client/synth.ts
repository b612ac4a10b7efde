import type { VoiceMember } from "../chart-spec.ts";

/** Longest sound made, s: a large bell rings on, but nobody waits for it. */
const MOST_S = 20;
const LEAST_S = 0.4;
/** Longest turn where several follow each other, s: the ear forgets the first while it waits. */
const MOST_TURN_S = 5;
/** Peak of every voice before the volume, so that no choice is louder than another. */
export const PEAK = 0.5;
const FADE_IN_S = 0.012;
const FADE_OUT_S = 0.06;
/** A turn may end while the bell still rings: it goes gently. */
const TURN_FADE_OUT_S = 0.3;
const LN_1000 = Math.log(1000);

/** Seconds until the slowest member has fallen by 60 dB, within bounds. */
export function voiceDurationS(members: VoiceMember[]): number {
  const slowest = Math.min(...members.map(([, decayRatePerS]) => decayRatePerS));
  return Math.min(MOST_S, Math.max(LEAST_S, LN_1000 / slowest));
}

/**
 * Samples of a sum of damped sinusoids, faded in and out and brought to a peak of {@link PEAK}. Members at or over half
 * the sample rate are left out: they would fold back as false tones.
 */
export function renderVoice(members: VoiceMember[], sampleRateHz: number): Float32Array {
  const samples = sumOf(members, voiceDurationS(members), FADE_OUT_S, sampleRateHz);
  bringToPeak(samples);
  return samples;
}

/** Sounds one after the other at the amplitudes given, each faded in and out. */
export function renderTurns(turns: VoiceMember[][], sampleRateHz: number): Float32Array {
  const most = turns.length > 1 ? MOST_TURN_S : MOST_S;
  const parts = turns.map((members) =>
    sumOf(members, Math.min(most, voiceDurationS(members)), TURN_FADE_OUT_S, sampleRateHz),
  );
  const whole = new Float32Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
}

/** Each member turns by a complex factor per sample. */
function sumOf(
  members: VoiceMember[],
  durationS: number,
  fadeOutS: number,
  sampleRateHz: number,
): Float32Array {
  const length = Math.round(durationS * sampleRateHz);
  const samples = new Float32Array(length);
  for (const [frequencyHz, decayRatePerS, amplitude, phaseRad] of members) {
    if (frequencyHz >= sampleRateHz / 2) continue;
    const shrink = Math.exp(-decayRatePerS / sampleRateHz);
    const turn = (2 * Math.PI * frequencyHz) / sampleRateHz;
    const stepRe = shrink * Math.cos(turn);
    const stepIm = shrink * Math.sin(turn);
    let re = amplitude * Math.cos(phaseRad);
    let im = amplitude * Math.sin(phaseRad);
    for (let i = 0; i < length; i++) {
      samples[i]! += re;
      const next = re * stepRe - im * stepIm;
      im = re * stepIm + im * stepRe;
      re = next;
    }
  }
  fade(samples, fadeOutS, sampleRateHz);
  return samples;
}

function fade(samples: Float32Array, fadeOutS: number, sampleRateHz: number): void {
  const fadeIn = Math.round(FADE_IN_S * sampleRateHz);
  const fadeOut = Math.round(fadeOutS * sampleRateHz);
  for (let i = 0; i < samples.length; i++) {
    samples[i]! *= Math.min(1, i / fadeIn, (samples.length - 1 - i) / fadeOut);
  }
}

function bringToPeak(samples: Float32Array): void {
  let peak = 0;
  for (let i = 0; i < samples.length; i++) peak = Math.max(peak, Math.abs(samples[i]!));
  if (peak === 0) return;
  for (let i = 0; i < samples.length; i++) samples[i]! *= PEAK / peak;
}
