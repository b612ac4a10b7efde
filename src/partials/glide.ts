/**
 * A glide common to all partials: the bell, the microphone or the tension of the metal moves, and every frequency is
 * f (1 + amount exp(-t / timeConstant)), t from the first contact. The phase of a line is then omega (t + d(t)) with
 * d(t) = amount timeConstant (1 - exp(-t / timeConstant)): the ring is one of free decays on the time axis u = t + d(t).
 */
export interface Glide {
  amount: number;
  timeConstantS: number;
}

/** A common glide as measured, with the standard deviations of both. */
export interface MeasuredGlide extends Glide {
  amountSd: number;
  timeConstantSdS: number;
}

/** d(t), s. 0 before the contact. */
export function glideDelayS({ amount, timeConstantS }: Glide, t: number): number {
  return t > 0 ? -amount * timeConstantS * Math.expm1(-t / timeConstantS) : 0;
}

/** Derivatives of d(t) by the amount and by the logarithm of the time constant. */
export function glideGradient({ amount, timeConstantS }: Glide, t: number): [number, number] {
  if (t <= 0) return [0, 0];
  const x = t / timeConstantS;
  const risen = -Math.expm1(-x);
  return [timeConstantS * risen, amount * timeConstantS * (risen - x * Math.exp(-x))];
}

/** The t of a u = t + d(t), by Newton's rule; the slope of d is under a fiftieth, so two steps leave 1e-13 s. */
export function glideTimeS(glide: Glide, u: number): number {
  let t = u;
  for (let i = 0; i < 2; i++) {
    const slope = glide.amount * Math.exp(-t / glide.timeConstantS);
    t -= (t + glideDelayS(glide, t) - u) / (1 + slope);
  }
  return t;
}

/**
 * How much a line's fitted frequency moves, relative to itself, when the amount and the logarithm of the time constant do.
 * A least-squares fit of a decay weighs a phase error phi(t) as 8 alpha^3 (t - 1/(2 alpha)) exp(-2 alpha t) from its start on.
 */
export function glideShift(glide: Glide, alpha: number, startS: number): [number, number] {
  const sum: [number, number] = [0, 0];
  const step = 0.02 / alpha;
  for (let i = 0; i < 400; i++) {
    const t = (i + 0.5) * step;
    const weight = 8 * alpha ** 3 * (t - 0.5 / alpha) * Math.exp(-2 * alpha * t) * step;
    const [byAmount, byConstant] = glideGradient(glide, startS + t);
    sum[0] += weight * byAmount;
    sum[1] += weight * byConstant;
  }
  return sum;
}
