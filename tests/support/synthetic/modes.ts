/** One mode as it was put in: x(t) = A_c exp(-alpha t) cos(2 pi f t + phase_c), t in s from the first contact. */
export interface TrueMode {
  frequencyHz: number;
  /** alpha; linewidth = alpha / pi, T60 = ln(1000) / alpha. */
  decayRatePerS: number;
  /** Per channel, full scale = 1. Where the rod bounces, extrapolated from the last contact back to the first. */
  amplitude: Float64Array;
  /** Per channel, cosine phase at the first contact. */
  phaseRad: Float64Array;
}

export const linewidthHz = (mode: { decayRatePerS: number }): number => mode.decayRatePerS / Math.PI;

export const decayRateOfT60 = (t60S: number): number => Math.log(1000) / t60S;

/** Samples between two restarts of the recurrence: its rounding error stays below 1e-12 of the amplitude. */
const BLOCK = 4096;
/** Amplitude below which a mode no longer moves a 24-bit sample. */
const INAUDIBLE = 1e-9;

/** Adds one damped sinusoid to target from sample `start` on; amplitude and phase are those at `start`. */
export function addDampedSinusoid(
  target: Float64Array,
  sampleRateHz: number,
  start: number,
  frequencyHz: number,
  decayRatePerS: number,
  amplitude: number,
  phaseRad: number,
): void {
  const step = (2 * Math.PI * frequencyHz) / sampleRateHz;
  const decay = decayRatePerS / sampleRateHz;
  const c1 = 2 * Math.exp(-decay) * Math.cos(step);
  const c2 = -Math.exp(-2 * decay);
  for (let from = start; from < target.length; from += BLOCK) {
    const n = from - start;
    const level = amplitude * Math.exp(-decay * n);
    if (Math.abs(level) < INAUDIBLE) return;
    let y0 = level * Math.cos(step * n + phaseRad);
    let y1 = level * Math.exp(-decay) * Math.cos(step * (n + 1) + phaseRad);
    const to = Math.min(from + BLOCK, target.length);
    for (let i = from; i < to; i++) {
      target[i] += y0;
      const y2 = c1 * y1 + c2 * y0;
      y0 = y1;
      y1 = y2;
    }
  }
}

/** How the pitch settles after the blow: f(t) = f (1 + amount exp(-t / timeConstantS)). */
export interface Glide {
  amount: number;
  timeConstantS: number;
}

/** As addDampedSinusoid, on a time axis warped so that the frequency glides down to frequencyHz. */
export function addGlidingSinusoid(
  target: Float64Array,
  sampleRateHz: number,
  start: number,
  mode: TrueMode,
  channel: number,
  glide: Glide,
): void {
  const omega = 2 * Math.PI * mode.frequencyHz;
  const amplitude = mode.amplitude[channel];
  const phase = mode.phaseRad[channel];
  for (let i = start; i < target.length; i++) {
    const t = (i - start) / sampleRateHz;
    const level = amplitude * Math.exp(-mode.decayRatePerS * t);
    if (Math.abs(level) < INAUDIBLE) return;
    const warped = t + glide.amount * glide.timeConstantS * -Math.expm1(-t / glide.timeConstantS);
    target[i] += level * Math.cos(omega * warped + phase);
  }
}
