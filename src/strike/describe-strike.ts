import { forEachBlock, type Samples } from "../audio/index.ts";
import { type BandLevels, framesIn } from "./band-levels.ts";
import { FRAMES_BEFORE_RISE } from "./broadband-rise.ts";
import { findContacts } from "./contacts.ts";
import { FLUTTER_S } from "./cut-off.ts";
import { rattles } from "./rattle.ts";
import { endOfRing } from "./ring-end.ts";
import { type RiseGroup, SAME_STRIKE_S } from "./rise-groups.ts";
import type { Strike } from "./strike.ts";

/** The fit may begin this long after the last contact; a bounce leaves the rod near the bell for a while. */
const RING_START_S = 0.006;
const RING_START_BOUNCED_S = 0.04;
/** A contact that only the short-time spectrum shows is known to about a window. */
const UNSURE_S = 0.01;
/** After the last flat top single samples still clip, until the ring has fallen a little. */
const AFTER_CLIPPING_S = 0.04;
/** The ring ends this long before the next contact, which may be placed late by as much. */
const BEFORE_NEXT_S = 0.01;
/** Contacts are looked for from this long before the first frame of a rise, which may itself begin 25 ms before the contact. */
const SEARCH_BEFORE_S = 0.02;
const SEARCH_BEYOND_S = 0.025;
/** The ring is taken to be free this long after the last rise. */
const FREE_AFTER_S = 0.06;
/** The sound before the first contact is none when it is 30 dB quieter than after it, or within 6 dB of the noise. */
const NOTHING_BEFORE = 1e-3;
const NOISE_BEFORE = 4;
const COMPARED_S = 0.01;
const BEGINNING_S = 0.0005;
/** Read before the search for contacts, which looks at what came before it, and after its end, to learn the ring from. */
const READ_BEFORE_S = 0.1;
const READ_AFTER_S = 0.2;

interface Contacts {
  samples: number[];
  onsetSeen: boolean;
  unsure: boolean;
}

/**
 * One strike from its rises. `next` is the strike that follows, or null; `noise` the noise level per band,
 * `noisePower` that of the quietest stretch, added over bands and channels.
 * `snrDb` is left at 0: it needs the quiet, which is known when all strikes are.
 */
export function describeStrike(
  sound: Samples,
  levels: BandLevels,
  group: RiseGroup,
  next: Strike | null,
  noise: Float64Array,
  noisePower: number,
  clips: [number, number][],
): Strike {
  const { sampleRateHz: rate, hopSamples, windowSamples } = levels;
  const samples = sound.sampleCount;
  const limit = next === null ? samples : next.onsetSample - Math.round(BEFORE_NEXT_S * rate);
  const contacts = contactsOf(sound, levels, group, limit, noisePower);
  const clipEnd = endOfClipping(clips, contacts.samples[0], limit);
  // What cannot be foretold there is the clipping, not the rod.
  const touched = contacts.samples.filter((sample, i) => i === 0 || sample > clipEnd + rate * UNSURE_S);
  const last = touched[touched.length - 1];
  const limitFrame = Math.min(levels.frames, Math.floor((limit - windowSamples) / hopSamples) + 1);
  const ring = endOfRing(levels, noise, Math.ceil(last / hopSamples) + 1, limitFrame);
  const endSample = ring.endedBy === "limit" || ring.frame >= limitFrame ? limit : ring.frame * hopSamples;
  // A gate that opens and shuts by turns sounds like a rattle.
  const steady = ring.frame - (ring.endedBy === "cut off" ? framesIn(levels, FLUTTER_S) : 0);
  let ringStart = last + Math.round((touched.length > 1 ? RING_START_BOUNCED_S : RING_START_S) * rate);
  if (contacts.unsure) ringStart += Math.round(UNSURE_S * rate);
  const clipped = clipEnd > 0;
  if (clipped) ringStart = Math.max(ringStart, clipEnd + Math.round(AFTER_CLIPPING_S * rate));
  return {
    onsetSample: contacts.samples[0],
    onsetSeen: contacts.onsetSeen,
    contactSamples: touched,
    ringStartSample: Math.min(ringStart, endSample),
    endSample,
    endedBy: ring.endedBy !== "limit" ? ring.endedBy : next === null ? "end of recording" : "next strike",
    peakDbfs: peakDbfs(sound, contacts.samples[0], endSample),
    snrDb: 0,
    clipped,
    rattle: rattles(levels, Math.max(last, clipEnd), steady),
  };
}

/** One past the last clipped sample between two samples; 0 where none is clipped. */
function endOfClipping(clips: [number, number][], from: number, to: number): number {
  let end = 0;
  for (const clip of clips) if (clip[1] > from && clip[0] < to) end = Math.max(end, clip[1]);
  return end;
}

/** Contacts by linear prediction; a rise in which none is found counts as one where its power steps up. */
function contactsOf(
  sound: Samples,
  levels: BandLevels,
  group: RiseGroup,
  limit: number,
  noisePower: number,
): Contacts {
  const { sampleRateHz: rate, hopSamples, windowSamples } = levels;
  const { rises, beginsAtFrame } = group;
  const begin = beginsAtFrame === null ? null : beginsAtFrame * hopSamples;
  const first = begin ?? rises[0].firstFrame * hopSamples;
  const lastRise =
    rises.length === 0 ? first : (rises[rises.length - 1].lastFrame + 4) * hopSamples + windowSamples;
  const from = Math.max(0, first - Math.round(SEARCH_BEFORE_S * rate));
  const to = Math.min(
    limit,
    Math.max(lastRise, first + Math.round((SAME_STRIKE_S + SEARCH_BEYOND_S) * rate)),
  );
  const free = Math.max(to, lastRise + Math.round(FREE_AFTER_S * rate));
  const learnFrom = free + Math.round(FREE_AFTER_S * rate) < limit ? free : lastRise;
  const found = contactsBetween(sound, rate, from, to, learnFrom, limit);
  const contacts = found.slice();
  let unsure = false;
  for (const rise of rises) {
    // Out of silence a blow is seen as a rise only some frames after it.
    const isFirst = beginsAtFrame !== null && rise.firstFrame <= beginsAtFrame + FRAMES_BEFORE_RISE;
    const earliest = isFirst ? from : rise.firstFrame * hopSamples - windowSamples;
    const latest = (rise.lastFrame + 4) * hopSamples + windowSamples;
    if (found.some((sample) => sample >= earliest && sample <= latest)) continue;
    contacts.push(rise.sample);
    unsure = true;
  }
  contacts.sort((a, b) => a - b);
  if (begin === null) return { samples: contacts, onsetSeen: true, unsure };
  // The predictor takes the beginning of the recording for a contact; it is one where nothing but noise came before.
  const later = contacts.filter((sample) => sample >= begin + Math.round(BEGINNING_S * rate));
  const start = begin > 0 ? contacts[0] : later[0];
  if (start !== undefined) {
    const after = power(sound, start, start + Math.round(COMPARED_S * rate));
    if (power(sound, begin, start) < Math.max(NOTHING_BEFORE * after, NOISE_BEFORE * noisePower)) {
      return { samples: contacts.filter((sample) => sample >= start), onsetSeen: true, unsure };
    }
  }
  return { samples: [begin, ...later], onsetSeen: false, unsure };
}

/** `findContacts` on the stretch of the recording that it looks at. */
function contactsBetween(
  sound: Samples,
  rateHz: number,
  from: number,
  to: number,
  learnFrom: number,
  learnTo: number,
): number[] {
  const first = Math.max(0, from - Math.round(READ_BEFORE_S * rateHz));
  const after = Math.max(to, learnFrom) + Math.round(READ_AFTER_S * rateHz);
  const channels = sound.read(first, Math.max(first, Math.min(sound.sampleCount, after)));
  const learnEnd = Math.min(learnTo, after);
  const found = findContacts(channels, rateHz, from - first, to - first, learnFrom - first, learnEnd - first);
  return found.map((sample) => sample + first);
}

/** Mean power over the stretch, added over the channels; 0 for an empty one. */
export function power(sound: Samples, from: number, to: number): number {
  const end = Math.min(to, sound.sampleCount);
  if (end <= from) return 0;
  const sums = new Float64Array(sound.channelCount);
  const add = (channels: Float32Array[]) => {
    for (let c = 0; c < channels.length; c++) {
      const channel = channels[c];
      let sum = sums[c];
      for (let n = 0; n < channel.length; n++) sum += channel[n] * channel[n];
      sums[c] = sum;
    }
  };
  forEachBlock(sound, add, from, end);
  return sums.reduce((a, b) => a + b, 0) / (end - from);
}

function peakDbfs(sound: Samples, from: number, to: number): number {
  let peak = 0;
  const look = (channels: Float32Array[]) => {
    for (const channel of channels)
      for (let n = 0; n < channel.length; n++) peak = Math.max(peak, Math.abs(channel[n]));
  };
  forEachBlock(sound, look, from, to);
  return 20 * Math.log10(Math.max(peak, 2 ** -24));
}
