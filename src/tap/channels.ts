import { meanOffset, type Recording } from "../audio/index.ts";

export interface ChosenChannels {
  /** Offset removed, full scale = 1. */
  channels: Float32Array[];
  /** How they were chosen, in words. */
  use: string;
  /** Largest mean over the channels. */
  dcOffset: number;
}

/** A joint fit of more channels gains little and costs in proportion. */
const MOST_CHANNELS = 2;
/** A channel this far under the loudest has little to add. */
const QUIET_SHARE = 1e-3;
/** Two channels alike to this part of their energy, but for a gain or the polarity, are one microphone. */
const SAME_SHARE = 1e-6;

/** The channels to fit jointly: the two loudest, without copies of one microphone and without silent ones. */
export function chooseChannels(recording: Recording): ChosenChannels {
  const offsets = recording.channels.map((x) => meanOffset(x) ?? 0);
  const clean = recording.channels.map((x, c) => (offsets[c] === 0 ? x : x.map((v) => v - offsets[c])));
  const energies = clean.map(energy);
  const loudest = Math.max(0, ...energies);
  const order = energies.map((_, c) => c).sort((a, b) => energies[b] - energies[a] || a - b);
  const chosen: number[] = [];
  for (const c of order) {
    if (chosen.length === MOST_CHANNELS) break;
    if (energies[c] <= QUIET_SHARE * loudest && chosen.length > 0) break;
    if (chosen.some((d) => unlike(clean[c], clean[d]) <= SAME_SHARE * energies[c])) continue;
    chosen.push(c);
  }
  chosen.sort((a, b) => a - b);
  const dcOffset = offsets.reduce((a, b) => (Math.abs(b) > Math.abs(a) ? b : a), 0);
  return { channels: chosen.map((c) => clean[c]), use: inWords(chosen, recording.channels.length), dcOffset };
}

function inWords(chosen: number[], all: number): string {
  if (all === 1) return "one channel";
  const names = chosen.map((c) => c + 1).join(" and ");
  if (chosen.length === 1) return `channel ${names} of ${all}; the others are copies of it or silent`;
  return `channels ${names}${all > chosen.length ? ` of ${all}` : ""}, fitted jointly`;
}

function energy(x: Float32Array): number {
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += x[i] * x[i];
  return sum;
}

/** Energy of x that no multiple of y accounts for. */
function unlike(x: Float32Array, y: Float32Array): number {
  let both = 0;
  for (let i = 0; i < x.length; i++) both += x[i] * y[i];
  const gain = both / (energy(y) || 1);
  let sum = 0;
  for (let i = 0; i < x.length; i++) sum += (x[i] - gain * y[i]) * (x[i] - gain * y[i]);
  return sum;
}
