import { forEachBlock, type Samples } from "./samples.ts";

/** What one look at all samples of a channel tells, in the samples' unit. */
export interface ChannelStatistics {
  /** The direct-current offset; null for no sample. */
  mean: number | null;
  /** Infinite, with the wrong sign, for no sample. */
  highest: number;
  lowest: number;
  /** The smallest difference of two neighbours that differ, at most the distance of two codes; infinite where none do. */
  step: number;
}

/** Goes through the samples once; one result a channel. */
export function channelStatistics(samples: Samples): ChannelStatistics[] {
  const sums = new Float64Array(samples.channelCount);
  const last = new Float64Array(samples.channelCount);
  const found = Array.from({ length: samples.channelCount }, () => ({
    highest: Number.NEGATIVE_INFINITY,
    lowest: Number.POSITIVE_INFINITY,
    step: Number.POSITIVE_INFINITY,
  }));
  forEachBlock(samples, (channels, at) => {
    for (let c = 0; c < channels.length; c++) {
      const channel = channels[c];
      let { highest, lowest, step } = found[c];
      let before = at === 0 ? channel[0] : last[c];
      let sum = sums[c];
      for (let i = 0; i < channel.length; i++) {
        const value = channel[i];
        sum += value;
        if (value > highest) highest = value;
        if (value < lowest) lowest = value;
        const difference = Math.abs(value - before);
        if (difference > 0 && difference < step) step = difference;
        before = value;
      }
      sums[c] = sum;
      last[c] = before;
      found[c] = { highest, lowest, step };
    }
  });
  return found.map((each, c) => ({
    ...each,
    mean: samples.sampleCount === 0 ? null : sums[c] / samples.sampleCount,
  }));
}
