import { type ChannelStatistics, forEachBlock, type Samples, samplesOf } from "../audio/index.ts";

export interface ChosenChannels {
  /** Index and offset of each channel to fit, ascending. */
  channels: ChannelWithOffset[];
  /** How they were chosen, in words. */
  use: string;
  /** Largest mean over the channels. */
  dcOffset: number;
}

export interface ChannelWithOffset {
  channel: number;
  offset: number;
}

/** A joint fit of more channels gains little and costs in proportion. */
const MOST_CHANNELS = 2;
/** A channel this far under the loudest has little to add. */
const QUIET_SHARE = 1e-3;
/** Two channels alike to this part of their energy, but for a gain or the polarity, are one microphone. */
const SAME_SHARE = 1e-6;

/** The channels to fit jointly: the two loudest, without copies of one microphone and without silent ones. */
export function chooseChannels(samples: Samples, statistics: ChannelStatistics[]): ChosenChannels {
  const all = statistics.map(({ mean }, channel) => ({ channel, offset: mean ?? 0 }));
  const dcOffset = all.reduce((a, { offset }) => (Math.abs(offset) > Math.abs(a) ? offset : a), 0);
  if (all.length === 1) return { channels: all, use: inWords([0], 1), dcOffset };
  const products = productsOf(withoutOffsets(samples, all));
  const energies = all.map((_, c) => products[c][c]);
  const loudest = Math.max(0, ...energies);
  const order = energies.map((_, c) => c).sort((a, b) => energies[b] - energies[a] || a - b);
  const chosen: number[] = [];
  for (const c of order) {
    if (chosen.length === MOST_CHANNELS) break;
    if (energies[c] <= QUIET_SHARE * loudest && chosen.length > 0) break;
    if (chosen.some((d) => unlike(products, c, d) <= SAME_SHARE * energies[c])) continue;
    chosen.push(c);
  }
  chosen.sort((a, b) => a - b);
  return { channels: chosen.map((c) => all[c]), use: inWords(chosen, all.length), dcOffset };
}

/** The chosen channels alone, each without its offset. */
export function withoutOffsets(samples: Samples, chosen: ChannelWithOffset[]): Samples {
  const clean = (channels: Float32Array[]) =>
    chosen.map(({ channel, offset }) => lowered(channels[channel], offset));
  if (samples.held !== null) return samplesOf(clean(samples.held));
  return {
    channelCount: chosen.length,
    sampleCount: samples.sampleCount,
    read: (from, to) => clean(samples.read(from, to)),
    held: null,
  };
}

function lowered(x: Float32Array, offset: number): Float32Array {
  if (offset === 0) return x;
  const clean = new Float32Array(x.length);
  for (let i = 0; i < x.length; i++) clean[i] = x[i] - offset;
  return clean;
}

function inWords(chosen: number[], all: number): string {
  if (all === 1) return "one channel";
  const names = chosen.map((c) => c + 1).join(" and ");
  if (chosen.length === 1) return `channel ${names} of ${all}; the others are copies of it or silent`;
  return `channels ${names}${all > chosen.length ? ` of ${all}` : ""}, fitted jointly`;
}

/** Sum over the samples of the product of each two channels. */
function productsOf(samples: Samples): number[][] {
  const count = samples.channelCount;
  const products = Array.from({ length: count }, () => new Array<number>(count).fill(0));
  forEachBlock(samples, (channels) => {
    for (let a = 0; a < count; a++) {
      for (let b = 0; b <= a; b++)
        products[a][b] = products[b][a] = addProduct(products[a][b], channels, a, b);
    }
  });
  return products;
}

function addProduct(sum: number, channels: Float32Array[], a: number, b: number): number {
  const x = channels[a];
  const y = channels[b];
  for (let i = 0; i < x.length; i++) sum += x[i] * y[i];
  return sum;
}

/** Energy of channel a that no multiple of channel b accounts for. */
function unlike(products: number[][], a: number, b: number): number {
  return products[a][a] - products[a][b] ** 2 / (products[b][b] || 1);
}
