/** One damped sinusoid as fitted: x(t) = A_c exp(-alpha t) cos(2 pi f t + phase_c), t from `referenceSample` of its strike. */
export interface Mode {
  frequencyHz: number;
  frequencySdHz: number;
  /** Decay rate alpha; T60 = 6.9078 / alpha. */
  decayRatePerS: number;
  decayRateSdPerS: number;
  /** Per channel, full scale = 1, extrapolated to the onset of the strike. */
  amplitude: Float64Array;
  /** Relative standard deviation of the amplitude of the strongest channel. */
  amplitudeRelSd: number;
  /** Per channel, cosine phase at the onset. */
  phaseRad: Float64Array;
  phaseSdRad: number;
  /** Matched-filter signal-to-noise ratio over all channels, at the start of the fit. */
  rho: number;
  /** Residual over degrees of freedom in the band of this mode. */
  chi: number;
  seenIn: string[];
}
