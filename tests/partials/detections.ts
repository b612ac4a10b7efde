import { updateResidual } from "../../src/partials/residual.ts";
import { newSearch, type Search } from "../../src/partials/search.ts";
import { fftLadder, noiseOfStretch } from "../../src/spectrum/index.ts";
import { makeRandom } from "../support/synthetic/index.ts";

export const DETECTION_RATE_HZ = 16_000;
export const DETECTION_SD = 0.01;

/** A search of one second and a half, its noise measured in a stretch of its own. */
export function detectionSearch(
  seed: number,
  channels: number,
  lines: { frequencyHz: number; alpha: number; amplitude: number }[],
): Search {
  const random = makeRandom(seed);
  const white = () => Float64Array.from({ length: 24_576 }, () => DETECTION_SD * random.normal());
  const quiet = white();
  const signals = Array.from({ length: channels }, white);
  for (const { frequencyHz, alpha, amplitude } of lines) {
    for (const x of signals) {
      for (let n = 0; n < x.length; n++) {
        const t = n / DETECTION_RATE_HZ;
        x[n] += amplitude * Math.exp(-alpha * t) * Math.sin(2 * Math.PI * frequencyHz * t);
      }
    }
  }
  const noise = noiseOfStretch(quiet, 0, quiet.length, DETECTION_RATE_HZ, 0);
  const ladder = fftLadder(signals, 0, signals[0].length, 48_000);
  const search = newSearch(
    DETECTION_RATE_HZ,
    ladder,
    signals.map(() => noise),
    0,
    0,
  );
  updateResidual(search, false);
  return search;
}
