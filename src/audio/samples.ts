/** The samples of one or more channels, full scale = 1 and finite, in memory or read where they are wanted. */
export interface Samples {
  channelCount: number;
  /** Samples in each channel. */
  sampleCount: number;
  /**
   * The samples [fromSample, toSample) of every channel, 0 <= fromSample <= toSample <= sampleCount. What comes back
   * may be a view of what is held; it is not to be written to.
   */
  read(fromSample: number, toSample: number): Float32Array[];
  /** All of them, where they are in memory anyway; else null. */
  held: Float32Array[] | null;
}

/** Samples that are in memory, one array a channel, equal lengths. */
export function samplesOf(channels: Float32Array[]): Samples {
  return {
    channelCount: channels.length,
    sampleCount: channels[0]?.length ?? 0,
    read: (from, to) => channels.map((channel) => channel.subarray(from, to)),
    held: channels,
  };
}

/** Samples looked at together in one go through a recording: 256 KiB a channel. */
export const BLOCK_SAMPLES = 1 << 16;

/** Goes once through the stretch [fromSample, toSample), block by block; `at` is the first sample of the block. */
export function forEachBlock(
  samples: Samples,
  visit: (channels: Float32Array[], at: number) => void,
  fromSample = 0,
  toSample = samples.sampleCount,
): void {
  for (let at = fromSample; at < toSample; at += BLOCK_SAMPLES) {
    visit(samples.read(at, Math.min(toSample, at + BLOCK_SAMPLES)), at);
  }
}
