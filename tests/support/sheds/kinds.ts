import { addHum } from "../awkward/air.ts";
import { controlGain } from "../synthetic/artefacts.ts";
import { makeRandom, type Random } from "../synthetic/index.ts";
import { addNoise, type NoiseColour, noiseTotalVariance, noiseVarianceAt } from "../synthetic/noise.ts";
import { type CastMode, type CastRecording, trueLines } from "./cast.ts";
import { CASTINGS, type Casting, drawCasting } from "./castings.ts";
import {
  addModes,
  blowOf,
  convolve,
  delayed,
  gainOf,
  peakOf,
  ROUNDING_VARIANCE,
  to16Bits,
} from "./render.ts";
import { garden, shed } from "./room.ts";
import { towerRecording } from "./tower.ts";

/** What goes wrong with a recording of an ordinary hobby casting. */
const MISHAPS = ["clipped", "bounced", "gain", "swinging"] as const;
type Mishap = (typeof MISHAPS)[number];

/** What can be recorded, and where. */
export const KINDS: { kind: string; places: string[] }[] = [
  ...[...CASTINGS, ...MISHAPS].map((kind) => ({ kind, places: ["shed", "garden"] })),
  { kind: "tower", places: ["tower"] },
];

/** The recording of a kind at a place. The same seed gives the same samples. */
export function recordCast(kind: string, place: string, seed: number): CastRecording {
  if (kind === "tower") return towerRecording(seed);
  const order = KINDS.findIndex((known) => known.kind === kind);
  // Every kind and place has its own stream, so that they do not share bells.
  const random = makeRandom(1000 * (2 * order + (place === "shed" ? 0 : 1)) + seed);
  const mishap = MISHAPS.find((each) => each === kind) ?? null;
  const casting = CASTINGS.find((each) => each === kind) ?? "hobby";
  return recordShed(random, casting, mishap, place);
}

const SAMPLE_RATE_HZ = 48000;

/**
 * A casting struck by a rod (0.3 to 2 ms), heard at a place by a telephone: 4 to 8 s, noise that falls with the frequency 50 to
 * 70 dB under the peak, mains hum under it. Clipped: 3 to 10 dB over full scale. Bounced: a second contact after 4 to
 * 80 ms with 10 to 60 % of the blow. Gain: a slow control (attack 2 to 20 ms, release 0.3 to 1.5 s, 2 : 1 to 6 : 1 above -20 to -10 dB).
 * Swinging: the bell hangs free and swings 0.5 to 1.2 times a second by 2 to 8 cm along the way to the recorder (Doppler), all lines
 * louder and softer by 3 to 15 %. The amounts are assumed.
 */
function recordShed(random: Random, casting: Casting, mishap: Mishap | null, place: string): CastRecording {
  const { modes, noteHz } = drawCasting(random, casting);
  const onset = Math.round(random.between(0.3, 0.6) * SAMPLE_RATE_HZ);
  const lengthS = random.between(4, 8);
  let ring: Float64Array = new Float64Array(onset + Math.round(lengthS * SAMPLE_RATE_HZ));
  addModes(ring, SAMPLE_RATE_HZ, onset, modes);
  const second = { delay: 0, strength: 0 };
  if (mishap === "bounced") {
    second.delay = Math.round(random.logBetween(0.004, 0.08) * SAMPLE_RATE_HZ);
    second.strength = random.between(0.1, 0.6);
    addModes(ring, SAMPLE_RATE_HZ, onset + second.delay, modes, second.strength);
  }
  const swingHz = mishap === "swinging" ? random.between(0.5, 1.2) : 0;
  if (mishap === "swinging") ring = swung(random, ring, onset, swingHz);

  const blow = blowOf(random.logBetween(0.0003, 0.002), SAMPLE_RATE_HZ);
  const { response: heard, rtS } =
    place === "shed" ? shed(random, SAMPLE_RATE_HZ) : garden(random, SAMPLE_RATE_HZ);
  const padded = new Float64Array(heard.length + blow.length - 1);
  padded.set(heard);
  const response = convolve(padded, blow);
  const sound = convolve(ring, response);
  const peak = peakOf(sound);
  if (mishap === "gain") {
    const control = {
      thresholdDb: random.between(-20, -10),
      ratio: random.between(2, 6),
      attackS: random.logBetween(0.002, 0.02),
      releaseS: random.logBetween(0.3, 1.5),
    };
    controlGain(sound, SAMPLE_RATE_HZ, onset, control, peak);
  }
  const shape = { sd: 1, zero: random.between(0.3, 0.7), pole: random.between(0.9, 0.97) };
  const noiseRms = peak * 10 ** (random.between(-70, -50) / 20);
  const noise: NoiseColour = { ...shape, sd: noiseRms / Math.sqrt(noiseTotalVariance(shape)) };
  addNoise(sound, noise, random);
  const mainsHz = random.pick([50, 60]);
  addHum(random, sound, SAMPLE_RATE_HZ, mainsHz, noiseRms * random.between(0.1, 0.6));

  const overDb = mishap === "clipped" ? random.between(3, 10) : random.between(-12, -3);
  const scale = 10 ** (overDb / 20) / peakOf(sound);
  const recorded = modes.map((mode) => ({
    ...mode,
    recorded: scale * heardOf(mode, response, blow, rtS, second),
  }));
  const variance = (hz: number) =>
    scale ** 2 * noiseVarianceAt(noise, hz, SAMPLE_RATE_HZ) + ROUNDING_VARIANCE;
  const kind = mishap ?? casting;
  return {
    sampleRateHz: SAMPLE_RATE_HZ,
    channel: to16Bits(sound, scale),
    truth: {
      kind,
      place,
      sampleRateHz: SAMPLE_RATE_HZ,
      durationS: sound.length / SAMPLE_RATE_HZ,
      onsetS: onset / SAMPLE_RATE_HZ,
      roomRtS: rtS,
      lines: trueLines(recorded, SAMPLE_RATE_HZ, variance, rtS),
      othersHz: [1, 2, 3, 5].map((order) => order * mainsHz),
      noteHz,
      swingHz,
      sharp: 0,
      faults: kind === casting && casting !== "cracked" && casting !== "porous" ? [] : [kind],
    },
  };
}

/** Amplitude of a mode in the recording after both contacts; what the room outlasts is held against its direct sound. */
function heardOf(
  { amplitude, frequencyHz, t60S }: CastMode,
  response: Float64Array,
  blow: Float64Array,
  rtS: number,
  second: { delay: number; strength: number },
): number {
  const contacts = new Float64Array(second.delay + 1);
  contacts[0] = 1;
  contacts[second.delay] += second.strength;
  const through = t60S > 1.5 * rtS ? response : blow;
  return (
    amplitude *
    gainOf(through, SAMPLE_RATE_HZ, frequencyHz, t60S) *
    gainOf(contacts, SAMPLE_RATE_HZ, frequencyHz, t60S)
  );
}

const SOUND_M_PER_S = 343;

/** What a recorder hears of a bell that swings from the blow on: nearer and farther, louder and softer. */
function swung(random: Random, ring: Float64Array, onset: number, swingHz: number): Float64Array {
  const reach = (random.between(0.02, 0.08) / SOUND_M_PER_S) * SAMPLE_RATE_HZ;
  const depth = random.between(0.03, 0.15);
  const phase = random.between(-Math.PI, Math.PI);
  const step = (2 * Math.PI * swingHz) / SAMPLE_RATE_HZ;
  // It hangs still until the blow, and swings less and less.
  const swing = (i: number) => (i <= onset ? 0 : Math.exp(-(i - onset) / (10 * SAMPLE_RATE_HZ)));
  const out = delayed(ring, (i) => reach * swing(i) * Math.sin(step * (i - onset)));
  for (let i = onset; i < out.length; i++)
    out[i] *= 1 + depth * swing(i) * Math.cos(step * (i - onset) + phase);
  return out;
}
