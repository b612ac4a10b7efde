import { boundsAround, FitScratch, fitBand } from "../../src/partials/fit-band.ts";
import { type BellTruth, linewidthHz } from "../support/synthetic/index.ts";
import { bandOfPlan } from "./bands.ts";

/** Nats that a further line must gain (one channel), the estimator's own rule; each more channel asks for more. */
const THRESHOLD = 15;
const THRESHOLD_A_CHANNEL = 2.5;
const REACH_LINEWIDTHS = 10;

/**
 * Whether the likelihood can tell a partial from its nearest neighbour: what one pole for both leaves of their exact bins,
 * in nats, is the gain to be expected of the second; noise moves it by sqrt(2 gain). Told is what passes the threshold
 * three deviations below its expectation. Frequencies known to five standard errors (seeable) do not ensure that.
 */
export function tellable(truth: BellTruth, mode: number): boolean {
  const own = truth.modes[mode];
  const others = truth.modes.filter((_, i) => i !== mode);
  const near = others.sort(
    (a, b) => Math.abs(a.frequencyHz - own.frequencyHz) - Math.abs(b.frequencyHz - own.frequencyHz),
  )[0];
  if (near === undefined) return true;
  const gain = gainOfTwo(truth, [own, near]);
  const threshold = THRESHOLD + THRESHOLD_A_CHANNEL * (own.amplitude.length - 1);
  return gain - 3 * Math.sqrt(2 * gain) > threshold;
}

function gainOfTwo(truth: BellTruth, modes: BellTruth["modes"]): number {
  const size = truth.sampleCount - truth.onsetSample;
  const bin = truth.sampleRateHz / size;
  const frequencies = modes.map((mode) => mode.frequencyHz);
  const reach = REACH_LINEWIDTHS * Math.max(...modes.map(linewidthHz)) + 8 * bin;
  const channels = modes[0].amplitude.length;
  const band = bandOfPlan({
    size,
    sampleRateHz: truth.sampleRateHz,
    from: Math.max(1, Math.floor((Math.min(...frequencies) - reach) / bin)),
    to: Math.ceil((Math.max(...frequencies) + reach) / bin),
    lines: modes.map((mode) => ({
      frequencyHz: mode.frequencyHz,
      alpha: mode.decayRatePerS,
      c: Array.from(mode.amplitude, (amplitude, c): [number, number] => [
        (amplitude / 2) * Math.cos(mode.phaseRad[c]),
        (amplitude / 2) * Math.sin(mode.phaseRad[c]),
      ]),
    })),
    channels,
    noise: Array.from({ length: channels }, (_, c) => truth.noiseVariance(modes[0].frequencyHz, c)),
    random: null,
  });
  const left = modes.flatMap((mode) =>
    [0.7, 1, 1.5].map((factor) => {
      const alpha = Float64Array.of(factor * mode.decayRatePerS);
      const omega = Float64Array.of(2 * Math.PI * mode.frequencyHz);
      return fitBand(band, { alpha, omega }, boundsAround(alpha), new FitScratch(), 100).rss;
    }),
  );
  return Math.min(...left);
}
