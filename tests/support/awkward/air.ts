import type { Random } from "../synthetic/index.ts";

/** Sounds in the air beside the bell. Each adds itself to a signal; levels are against the peak of the ring, 1. */

/**
 * Formants of vowels spoken by men, Hz: means of Peterson & Barney, J. Acoust. Soc. Am. 24 (1952) 175-184, table II
 * (from memory).
 */
const VOWELS_HZ = [
  [270, 2290, 3010],
  [530, 1840, 2480],
  [730, 1090, 2440],
  [570, 840, 2410],
  [300, 870, 2240],
];
/** Their bandwidths, Hz: common practice, no source. */
const BANDWIDTHS_HZ = [60, 90, 130];

/**
 * A voice: syllables of 0.12 to 0.25 s with pauses between, glottal pulses at 90 to 140 a second that fall towards the end,
 * through three formants; some syllables begin with a hiss. Pulses and hiss are common practice, no source.
 *
 * @returns one past its last sample
 */
export function addSpeech(
  random: Random,
  signal: Float64Array,
  rateHz: number,
  start: number,
  rms: number,
): number {
  const end = Math.min(signal.length, start + Math.round(random.between(1.2, 2.5) * rateHz));
  const voice = new Float64Array(end - start);
  const pitchHz = random.between(90, 140);
  for (let at = 0; at < voice.length; ) {
    const hiss = random.uniform() < 0.4 ? Math.round(random.between(0.05, 0.1) * rateHz) : 0;
    addHiss(random, voice.subarray(at, at + hiss));
    at += hiss;
    const count = Math.round(random.between(0.12, 0.25) * rateHz);
    addVowel(random, voice.subarray(at, at + count), rateHz, pitchHz * (1.1 - (0.3 * at) / voice.length));
    at += count + Math.round(random.between(0.03, 0.12) * rateHz);
  }
  addScaled(signal, voice, start, rms);
  return end;
}

/** White noise, differentiated: a hiss that rises with the frequency. */
function addHiss(random: Random, target: Float64Array) {
  let before = 0;
  for (let i = 0; i < target.length; i++) {
    const now = random.normal();
    target[i] += 0.05 * (now - before) * Math.sin((Math.PI * (i + 0.5)) / target.length);
    before = now;
  }
}

function addVowel(random: Random, target: Float64Array, rateHz: number, pitchHz: number) {
  let sound: Float64Array = new Float64Array(target.length);
  for (let t = 0; t < target.length; t += (rateHz / pitchHz) * (1 + 0.01 * random.normal())) {
    sound[Math.floor(t)] = 1;
  }
  // The pulses fall by 12 dB an octave, the lips give 6 back.
  sound = lowPass(sound, rateHz, 100);
  const formants = random.pick(VOWELS_HZ);
  formants.forEach((formantHz, i) => {
    sound = resonate(sound, rateHz, formantHz, BANDWIDTHS_HZ[i]);
  });
  const level = rmsOf(sound);
  for (let i = 0; i < target.length; i++) {
    target[i] += (sound[i] / level) * Math.sin((Math.PI * (i + 0.5)) / target.length);
  }
}

/** Two poles at a formant, gain 1 at 0 Hz. */
function resonate(input: Float64Array, rateHz: number, centreHz: number, widthHz: number): Float64Array {
  const radius = Math.exp((-Math.PI * widthHz) / rateHz);
  const a1 = 2 * radius * Math.cos((2 * Math.PI * centreHz) / rateHz);
  const a2 = -radius * radius;
  const gain = 1 - a1 - a2;
  const out = new Float64Array(input.length);
  for (let i = 0; i < input.length; i++) {
    out[i] = gain * input[i] + a1 * (out[i - 1] ?? 0) + a2 * (out[i - 2] ?? 0);
  }
  return out;
}

const poleOf = (cornerHz: number, rateHz: number): number => Math.exp((-2 * Math.PI * cornerHz) / rateHz);

function lowPass(input: Float64Array, rateHz: number, cornerHz: number): Float64Array {
  const pole = poleOf(cornerHz, rateHz);
  const out = new Float64Array(input.length);
  let y = 0;
  for (let i = 0; i < input.length; i++) {
    y = (1 - pole) * input[i] + pole * y;
    out[i] = y;
  }
  return out;
}

/** Corners of the wind's spectrum, and of its gusts, Hz; scatter of the gusts in nepers (5 dB). */
const WIND_HZ = [15, 150];
const GUST_HZ = 0.5;
const GUST_NEPERS = 0.6;

/**
 * Wind in an unshielded microphone: noise that falls by 6 dB an octave from 15 Hz and by 12 dB from 150 Hz on, in gusts of
 * some seconds. That it lies low, falls with the frequency and gusts: Morgan & Raspet, J. Acoust. Soc. Am. 92 (1992)
 * 1180-1183 (from memory); the corners are common practice, no source.
 *
 * @returns its mean variance per sample that white noise of the density at a frequency would have
 */
export function addWind(
  random: Random,
  signal: Float64Array,
  rateHz: number,
  rms: number,
): (frequencyHz: number) => number {
  let wind: Float64Array = new Float64Array(signal.length);
  random.addNormal(wind, 1);
  for (const cornerHz of WIND_HZ) wind = lowPass(wind, rateHz, cornerHz);
  let gusts: Float64Array = new Float64Array(signal.length);
  random.addNormal(gusts, 1);
  gusts = lowPass(lowPass(gusts, rateHz, GUST_HZ), rateHz, GUST_HZ);
  const scale = GUST_NEPERS / rmsOf(gusts);
  for (let i = 0; i < wind.length; i++) wind[i] *= Math.exp(scale * gusts[i]);
  const gain = addScaled(signal, wind, 0, rms);
  const gusty = Math.exp(2 * GUST_NEPERS ** 2);
  return (frequencyHz) =>
    WIND_HZ.reduce(
      (product, cornerHz) => {
        const pole = poleOf(cornerHz, rateHz);
        const cos = Math.cos((2 * Math.PI * frequencyHz) / rateHz);
        return (product * (1 - pole) ** 2) / (1 - 2 * pole * cos + pole ** 2);
      },
      gusty * gain ** 2,
    );
}

/**
 * Something loose that buzzes on the bell: 10 to 16 clicks of 2 ms, 40 to 110 ms apart, that die with the ring. The times are
 * common practice, no source.
 */
export function addRattle(
  random: Random,
  signal: Float64Array,
  rateHz: number,
  start: number,
  level: number,
): number {
  const clicks = random.integer(10, 16);
  let at = start;
  for (let k = 0; k < clicks; k++) {
    at += Math.round(random.between(0.04, 0.11) * rateHz);
    const height = level * random.between(0.6, 1) * Math.exp(-(at - start) / rateHz);
    addClick(random, signal, rateHz, at, height);
  }
  return at;
}

/** White noise under half a sine of 2 ms. */
export function addClick(random: Random, signal: Float64Array, rateHz: number, start: number, rms: number) {
  const count = Math.round(0.002 * rateHz);
  for (let i = 0; i < count && start + i < signal.length; i++) {
    signal[start + i] += rms * Math.SQRT2 * Math.sin((Math.PI * (i + 0.5)) / count) * random.normal();
  }
}

/** Hum of the mains: the fundamental and harmonics 2, 3, 5, each within 10 dB of `level`. */
export function addHum(
  random: Random,
  signal: Float64Array,
  rateHz: number,
  mainsHz: number,
  level: number,
): void {
  for (const order of [1, 2, 3, 5]) {
    const amplitude = level * 10 ** (random.between(-10, 0) / 20);
    const phase = random.between(0, 2 * Math.PI);
    const step = (2 * Math.PI * order * mainsHz) / rateHz;
    for (let i = 0; i < signal.length; i++) signal[i] += amplitude * Math.cos(step * i + phase);
  }
}

/** Adds a sound from `start` on so that its root mean square is `rms`; returns the gain it took. */
function addScaled(signal: Float64Array, sound: Float64Array, start: number, rms: number): number {
  const gain = rms / rmsOf(sound);
  for (let i = 0; i < sound.length; i++) signal[start + i] += gain * sound[i];
  return gain;
}

function rmsOf(sound: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < sound.length; i++) sum += sound[i] * sound[i];
  return Math.sqrt(sum / Math.max(1, sound.length)) || 1;
}
