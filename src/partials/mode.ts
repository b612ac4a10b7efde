/** One damped sinusoid as measured: x_c(t) = A_c exp(-alpha t) cos(2 pi f t + phase_c), t from the first contact of the rod. */
export interface Mode {
  frequencyHz: number;
  frequencySdHz: number;
  /** Decay rate alpha; T60 = 6.9078 / alpha. */
  decayRatePerS: number;
  decayRateSdPerS: number;
  /** Per channel, full scale = 1, carried back to the first contact. */
  amplitude: Float64Array;
  /** Standard deviation of the logarithm of the amplitude, strongest channel. */
  logAmplitudeSd: number;
  /** Per channel, cosine phase at the first contact. */
  phaseRad: Float64Array;
  phaseSdRad: number;
  /** Matched-filter signal-to-noise ratio over all channels, at the start of the fit. */
  rho: number;
  /** Residual over degrees of freedom in the band of this mode. */
  chi: number;
  /** Which other data had the line again. */
  seenIn: string[];
}

export interface SteadyLine {
  frequencyHz: number;
  /** Root of the summed squares of the channels' amplitudes. */
  amplitude: number;
  kind: "mains" | "steady tone" | "rod" | "room";
  text: string;
}

/** A line that is made of others: f = f_i + f_j (+ f_k ...), from a microphone, a clipping stage or the air, not a mode. */
export interface CombinationLine {
  frequencyHz: number;
  amplitude: number;
  /** Indices into the modes, two or more, ascending; as often as a mode takes part. */
  of: number[];
}
