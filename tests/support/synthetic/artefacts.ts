import FFT from "fft.js";
import type { Glide, TrueMode } from "./modes.ts";
import type { Random } from "./random.ts";

/** One touch of the rod; the first has delay 0. */
export interface Contact {
  delayS: number;
  /** Blow relative to the first one. */
  strength: number;
}

/** Diffuse reverberation: noise that decays exponentially from `delayS` on, beside the direct sound. */
export interface Room {
  reverberationTimeS: number;
  directToReverberantDb: number;
  delayS: number;
}

/** A feed-forward gain control that follows the peaks: above threshold the level is divided by ratio (in dB). */
export interface GainControl {
  /** Relative to the largest sample of the ring. */
  thresholdDb: number;
  ratio: number;
  attackS: number;
  releaseS: number;
}

/** Everything that makes a ring depart from a sum of free decays in stationary noise. */
export interface Artefacts {
  contacts?: Contact[];
  glide?: Glide;
  /** Noise of the blow itself: white, half-sine envelope, rms relative to the largest sample of the ring. */
  burst?: { durationS: number; rms: number };
  room?: Room;
  gainControl?: GainControl;
}

/** Adds burst, room and gain control, in the order in which they happen, to a ring that starts at onset. */
export function addArtefacts(
  signal: Float64Array,
  sampleRateHz: number,
  onset: number,
  artefacts: Artefacts,
  random: Random,
): void {
  let peak = 0;
  for (let i = onset; i < signal.length; i++) peak = Math.max(peak, Math.abs(signal[i]));
  if (artefacts.burst) {
    const count = Math.round(artefacts.burst.durationS * sampleRateHz);
    // A half-sine envelope has rms 1/sqrt(2).
    const height = artefacts.burst.rms * peak * Math.SQRT2;
    for (let i = 0; i < count; i++) {
      signal[onset + i] += height * Math.sin((Math.PI * (i + 0.5)) / count) * random.normal();
    }
  }
  if (artefacts.room) addRoom(signal, sampleRateHz, onset, artefacts.room, random);
  if (artefacts.gainControl) controlGain(signal, sampleRateHz, onset, artefacts.gainControl, peak);
}

/** Amplitude and phase after the last contact, extrapolated back to the first one: each contact adds its own ring. */
export function bouncedAmplitudes(mode: TrueMode, contacts: Contact[], sampleRateHz: number): TrueMode {
  let re = 0;
  let im = 0;
  for (const { delayS, strength } of contacts) {
    const t = Math.round(delayS * sampleRateHz) / sampleRateHz;
    const gain = strength * Math.exp(mode.decayRatePerS * t);
    re += gain * Math.cos(2 * Math.PI * mode.frequencyHz * t);
    im -= gain * Math.sin(2 * Math.PI * mode.frequencyHz * t);
  }
  const gain = Math.hypot(re, im);
  const turn = Math.atan2(im, re);
  return {
    ...mode,
    amplitude: mode.amplitude.map((a) => a * gain),
    phaseRad: mode.phaseRad.map((p) => p + turn),
  };
}

/** Convolves the ring with a diffuse impulse response and adds it; the response is cut 60 dB down. */
function addRoom(signal: Float64Array, sampleRateHz: number, onset: number, room: Room, random: Random) {
  const delay = Math.round(room.delayS * sampleRateHz);
  const count = Math.round(room.reverberationTimeS * sampleRateHz);
  const response = new Float64Array(delay + count);
  let energy = 0;
  for (let i = 0; i < count; i++) {
    const h = random.normal() * 10 ** ((-3 * i) / count);
    response[delay + i] = h;
    energy += h * h;
  }
  const gain = Math.sqrt(10 ** (-room.directToReverberantDb / 10) / energy);
  const ring = signal.subarray(onset);
  const reverberation = convolve(ring, response);
  for (let i = 0; i < ring.length; i++) ring[i] += gain * reverberation[i];
}

/** First a.length samples of the linear convolution. */
function convolve(a: Float64Array, b: Float64Array): Float64Array {
  let size = 2;
  while (size < a.length + b.length) size *= 2;
  const fft = new FFT(size);
  // Two real signals as one complex one: A = even part, B = odd part of its spectrum.
  const packed = new Float64Array(2 * size);
  for (let i = 0; i < a.length; i++) packed[2 * i] = a[i];
  for (let i = 0; i < b.length; i++) packed[2 * i + 1] = b[i];
  const spectrum = new Float64Array(2 * size);
  fft.transform(spectrum, packed);
  for (let k = 0; k < size; k++) {
    const j = (size - k) % size;
    const sumRe = spectrum[2 * k] + spectrum[2 * j];
    const sumIm = spectrum[2 * k + 1] - spectrum[2 * j + 1];
    const differenceRe = spectrum[2 * k] - spectrum[2 * j];
    const differenceIm = spectrum[2 * k + 1] + spectrum[2 * j + 1];
    // A B = sum/2 * difference/(2i)
    packed[2 * k] = (sumRe * differenceIm + sumIm * differenceRe) / 4;
    packed[2 * k + 1] = (sumIm * differenceIm - sumRe * differenceRe) / 4;
  }
  fft.inverseTransform(spectrum, packed);
  const out = new Float64Array(a.length);
  for (let i = 0; i < a.length; i++) out[i] = spectrum[2 * i];
  return out;
}

/** Peak follower, static curve, gain: what the recorder of a telephone does to a loud blow. */
export function controlGain(
  signal: Float64Array,
  sampleRateHz: number,
  onset: number,
  control: GainControl,
  peak: number,
): void {
  const attack = -Math.expm1(-1 / (control.attackS * sampleRateHz));
  const release = -Math.expm1(-1 / (control.releaseS * sampleRateHz));
  const threshold = peak * 10 ** (control.thresholdDb / 20);
  const slope = 1 / control.ratio - 1;
  let level = 0;
  for (let i = onset; i < signal.length; i++) {
    const now = Math.abs(signal[i]);
    level += (now > level ? attack : release) * (now - level);
    if (level > threshold) signal[i] *= (level / threshold) ** slope;
  }
}
