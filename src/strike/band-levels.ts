import type { Samples } from "../audio/index.ts";
import { RealFft } from "../spectrum/index.ts";

/** Short-time power in frequency bands; frame k covers samples k * hopSamples up to k * hopSamples + windowSamples. */
export interface BandLevels {
  sampleRateHz: number;
  windowSamples: number;
  hopSamples: number;
  frames: number;
  bands: number;
  /**
   * Frames [fromFrame, toFrame), row by row of `bands`: power per sample that white noise of this density would have.
   * A view that holds until the next call; toFrame is at most `frames`.
   */
  rows(fromFrame: number, toFrame: number): Float32Array;
  /** Power below which a band counts as silent: 120 dB under the loudest band of the recording, and 24-bit rounding at least. */
  silence: number;
}

/** Power of 24-bit rounding, per sample at full scale 1: no recording has less noise than this. */
export const ROUNDING_24_BIT_POWER = 2 ** -46 / 12;
/** Window of 512 samples at 44.1 and 48 kHz, about 11 ms. */
const WINDOW_S = 0.0112;
/** Below this lie mains hum and rumble. */
const LOWEST_BIN = 2;
/** Bands hold one bin up to here and then up to four, so that a lone partial still stands out of its band. */
const SINGLE_BINS = 16;
const PAIRED_BINS = 64;

/** Levels up to this many are kept while strikes are looked for, 256 MiB: 16 min at 192 kHz, an hour nearly at 48 kHz, and less than the fit of one strike
 * takes at such rates. Of a longer recording they are computed where they are wanted, four times over. */
export const MOST_KEPT_LEVELS = 2 ** 26;
/** Frames computed together, 16 s or so. */
const PAGE_FRAMES = 4096;

/**
 * Short-time spectrum of a recording in about 90 bands (Hann window, hop 3/8 of it).
 * The channels' powers are added, not their samples, which could cancel.
 * A recording shorter than the window gives no frames.
 *
 * @param mostKept levels that may be kept in memory; what is computed again is the same
 */
export function bandLevels(
  samples: Samples,
  sampleRateHz: number,
  mostKept = MOST_KEPT_LEVELS,
  pageFrames = PAGE_FRAMES,
): BandLevels {
  const windowSamples = Math.max(32, 2 ** Math.round(Math.log2(WINDOW_S * sampleRateHz)));
  const hopSamples = (windowSamples * 3) / 8;
  const { sampleCount } = samples;
  const frames = sampleCount < windowSamples ? 0 : Math.floor((sampleCount - windowSamples) / hopSamples) + 1;
  const bank = new BandBank(windowSamples, hopSamples);
  const { bands } = bank;
  const compute = (from: number, to: number, out: Float32Array): void => {
    if (to > from) bank.levelsOf(samples.read(from * hopSamples, (to - 1) * hopSamples + windowSamples), out);
  };
  const isKept = frames * bands <= mostKept;
  const kept = new Float32Array(isKept ? frames * bands : 0);
  let page = isKept ? kept : new Float32Array(Math.min(frames, pageFrames) * bands);
  let loudest = 0;
  for (let from = 0; from < frames; from += pageFrames) {
    const to = Math.min(frames, from + pageFrames);
    const out = isKept
      ? kept.subarray(from * bands, to * bands)
      : page.subarray(0, (to - from) * bands).fill(0);
    compute(from, to, out);
    for (let i = 0; i < out.length; i++) if (out[i] > loudest) loudest = out[i];
  }
  let pageFrom = 0;
  let pageTo = isKept ? frames : 0;
  const rows = (from: number, to: number): Float32Array => {
    if (from < pageFrom || to > pageTo) {
      pageFrom = from;
      pageTo = Math.min(frames, Math.max(to, from + pageFrames));
      if (page.length < (pageTo - pageFrom) * bands) page = new Float32Array((pageTo - pageFrom) * bands);
      compute(pageFrom, pageTo, page.subarray(0, (pageTo - pageFrom) * bands).fill(0));
    }
    return page.subarray((from - pageFrom) * bands, (to - pageFrom) * bands);
  };
  return {
    sampleRateHz,
    windowSamples,
    hopSamples,
    frames,
    bands,
    rows,
    silence: Math.max(loudest * 1e-12, ROUNDING_24_BIT_POWER),
  };
}

/** The plan of the short-time transform, and its buffers. */
class BandBank {
  readonly bands: number;
  private readonly edges: number[];
  private readonly fft: RealFft;
  private readonly window: Float64Array;
  private readonly frame: Float64Array;
  private readonly re: Float64Array;
  private readonly im: Float64Array;
  private readonly hopSamples: number;

  constructor(windowSamples: number, hopSamples: number) {
    this.edges = bandEdges(windowSamples / 2);
    this.bands = this.edges.length - 1;
    this.hopSamples = hopSamples;
    this.fft = new RealFft(windowSamples);
    this.frame = new Float64Array(windowSamples);
    this.re = new Float64Array(windowSamples / 2 + 1);
    this.im = new Float64Array(windowSamples / 2 + 1);
    this.window = Float64Array.from(
      { length: windowSamples },
      (_, n) => 0.5 - 0.5 * Math.cos((2 * Math.PI * n) / windowSamples),
    );
  }

  /** Adds the levels of as many frames as `out` has rows; the first begins with the first sample. */
  levelsOf(channels: Float32Array[], out: Float32Array): void {
    const { bands, edges, fft, window, frame, re, im, hopSamples } = this;
    const windowSamples = window.length;
    const scale = 1 / (0.375 * windowSamples);
    const frames = out.length / bands;
    for (const channel of channels) {
      for (let k = 0; k < frames; k++) {
        const start = k * hopSamples;
        for (let n = 0; n < windowSamples; n++) frame[n] = window[n] * channel[start + n];
        fft.forward(frame, 0, re, im);
        const row = k * bands;
        for (let b = 0; b < bands; b++) {
          let sum = 0;
          for (let i = edges[b]; i < edges[b + 1]; i++) sum += re[i] * re[i] + im[i] * im[i];
          out[row + b] += (sum * scale) / (edges[b + 1] - edges[b]);
        }
      }
    }
  }
}

/** First bin of every band, and one past the last bin of the last band. */
function bandEdges(bins: number): number[] {
  const edges = [];
  for (let i = LOWEST_BIN; i < bins; i += i < SINGLE_BINS ? 1 : i < PAIRED_BINS ? 2 : 4) edges.push(i);
  edges.push(bins);
  return edges;
}

/** Frames in a time, at least one. */
export function framesIn(levels: Pick<BandLevels, "sampleRateHz" | "hopSamples">, timeS: number): number {
  return Math.max(1, Math.round((timeS * levels.sampleRateHz) / levels.hopSamples));
}
