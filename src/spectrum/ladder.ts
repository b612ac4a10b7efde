import { largestSizeWithin, realFftOf } from "./real-fft.ts";

/** One step of the ladder: the transform of the first `size` samples of the ring-down, every channel. Done when first asked for. */
export interface LadderStep {
  readonly size: number;
  /** Bins 0 .. size/2 of each channel. */
  readonly re: Float64Array[];
  readonly im: Float64Array[];
}

/** Shortest transform of the ladder, s, and samples: a line that decays within a tenth of a second must be seen at any rate. */
const SHORTEST_S = 0.0625;
const SHORTEST_SAMPLES = 256;

/**
 * Transforms of halving length that all begin at the same sample, rectangular: a line that has decayed is best seen in a
 * short one, a slow line needs the long one. [0] is the longest. Empty when fewer than 128 samples are there.
 */
export function fftLadder(
  channels: ArrayLike<number>[],
  startSample: number,
  endSample: number,
  sampleRateHz: number,
): LadderStep[] {
  const shortest = Math.max(SHORTEST_SAMPLES, SHORTEST_S * sampleRateHz);
  const steps: LadderStep[] = [];
  let size = largestSizeWithin(endSample - startSample);
  while (size >= 128) {
    steps.push(lazyStep(channels, startSample, size));
    if (size <= shortest || size % 2 !== 0) break;
    size /= 2;
  }
  return steps;
}

function lazyStep(channels: ArrayLike<number>[], startSample: number, size: number): LadderStep {
  let done: { re: Float64Array[]; im: Float64Array[] } | null = null;
  const transform = () => {
    if (done) return done;
    const fft = realFftOf(size);
    done = { re: [], im: [] };
    for (const x of channels) {
      const re = new Float64Array(size / 2 + 1);
      const im = new Float64Array(size / 2 + 1);
      fft.forward(x, startSample, re, im);
      done.re.push(re);
      done.im.push(im);
    }
    return done;
  };
  return {
    size,
    get re() {
      return transform().re;
    },
    get im() {
      return transform().im;
    },
  };
}
