import { makeRandom, type Random } from "../synthetic/index.ts";
import { type CastMode, type CastRecording, trueLines } from "./cast.ts";
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

/** A named partial of a tuned bell of a professional set. */
interface TowerPartial {
  name: string;
  /** Over the strike note. */
  ratio: number;
  /** Standard deviation of where it is cast, cents. */
  scatterCents: number;
  levelDb: number;
  scatterDb: number;
  /** T60 of the bell whose prime is PRIME_OF_T60_HZ. */
  t60S: number;
}

/**
 * Ratios: hum to octave nominal of a tuned minor-third bell (0.5, 1, 1.2, 1.5, 2, 3, 4, just), the others as of the D5
 * bell of Perrin, Charnley & dePont, J. Sound Vib. 90 (1983) 29-49, tabulated in Fletcher & Rossing, The Physics of Musical
 * Instruments, 2nd ed., table 21.1 (from memory). T60: of that bell (prime 586 Hz), after Rossing (from memory). Levels 0.1 s
 * after the strike: means and scatter of the lines of 31 bells of the Sather Tower carillon (recorded by Wessel, Campion and
 * Davis, UC Berkeley, CC BY-SA 4.0); those of deciem, undeciem and the rim partials above are assumed. Scatter in cents:
 * assumed, within the 30 cents of that set.
 */
const PARTIALS: TowerPartial[] = [
  { name: "hum", ratio: 0.5, scatterCents: 6, levelDb: -6, scatterDb: 6, t60S: 52 },
  { name: "prime", ratio: 1, scatterCents: 6, levelDb: -6, scatterDb: 4, t60S: 16 },
  { name: "tierce", ratio: 1.19, scatterCents: 8, levelDb: -6, scatterDb: 8, t60S: 16 },
  { name: "quint", ratio: 1.5, scatterCents: 15, levelDb: -27, scatterDb: 4, t60S: 6 },
  { name: "nominal", ratio: 2, scatterCents: 3, levelDb: -8, scatterDb: 8, t60S: 3 },
  { name: "deciem", ratio: 2.514, scatterCents: 25, levelDb: -25, scatterDb: 6, t60S: 1.4 },
  { name: "undeciem", ratio: 2.662, scatterCents: 25, levelDb: -25, scatterDb: 6, t60S: 3.6 },
];
const PRIME_OF_T60_HZ = 586;
/** A larger bell rings longer, nearly as its size (losses per period that do not change would give 1): assumed. */
const T60_OF_SIZE = 0.9;
const LONGEST_T60_S = 80;
const SHORTEST_T60_S = 0.3;

/** Chladni's law of the rim partials (m, 1), m meridians; constants of the D5 bell's own m = 4 to 9 are -0.92, 1.468. */
const RIM = { b: -0.88, p: 1.468, nominalMeridians: 4 };
const RIM_NAMES = ["superquint", "octave nominal", "upper fourth", "upper sixth", "triple octave"];

const SAMPLE_RATE_HZ = 44100;
const HIGHEST_HZ = 16000;

/**
 * A tuned bell of a set, struck by its clapper in its tower. 60 to 150 lines in pairs (splits 0.01 to 0.3 %); the named
 * partials, the rim partials by Chladni's law, and above the nominal modes with more circles, whose places are drawn
 * (density rising as the frequency: a shell's) and whose levels fall by 12 dB an octave within 8 dB: assumed. A clapper's
 * half sine of 1 to 3 ms. Reverberation of 1 to 2.5 s, decaying noise 12 to 20 dB under the direct sound. Two neighbours of the set
 * ring along 35 dB down or less. Noise -60 dB under the peak. Departures of a real bell, assumed: the blow sets it swinging a
 * little (all lines together louder and softer by 0.3 to 1 %, 0.4 to 1.2 times a second, dying in 4 s), and it begins sharp
 * by 1e-5 to 1e-4, settling in a second.
 *
 * @param durationS 5 to 16 where it is not given
 * @param lines 60 to 150 where it is not given
 */
export function towerRecording(seed: number, durationS?: number, lines?: number): CastRecording {
  const random = makeRandom(7919 * seed + 17);
  const noteHz = random.logBetween(150, 1300);
  const modes = towerModes(random, noteHz, lines ?? random.integer(60, 150));
  const lengthS = durationS ?? random.between(5, 16);
  const onset = Math.round(random.between(0.2, 0.5) * SAMPLE_RATE_HZ);
  const ring = new Float64Array(onset + Math.round(lengthS * SAMPLE_RATE_HZ));
  addModes(ring, SAMPLE_RATE_HZ, onset, modes);

  const blow = blowOf(random.between(0.001, 0.003), SAMPLE_RATE_HZ);
  const roomRtS = random.between(1, 2.5);
  const response = towerResponse(random, blow, roomRtS, random.between(12, 20));
  const { moved, swingHz, sharp } = departFromModel(random, ring, onset);
  const sound = convolve(moved, response);

  const strongest = Math.max(...modes.map((m) => m.amplitude));
  const neighbours = [random.pick([-2, -1, 3, 4]), random.pick([1, 2, 5, 7])].flatMap((semitones) =>
    neighbourModes(random, noteHz * 2 ** (semitones / 12), strongest),
  );
  addModes(sound, SAMPLE_RATE_HZ, onset + Math.round(0.02 * SAMPLE_RATE_HZ), neighbours);

  const peak = peakOf(sound);
  const noiseSd = peak * 1e-3;
  random.addNormal(sound, noiseSd);
  const scale = random.between(0.3, 0.8) / peak;
  const recorded = modes.map((mode) => {
    // What decays faster than the tower is held against its direct sound.
    const heard = mode.t60S > 1.5 * roomRtS ? response : blow;
    return {
      ...mode,
      recorded: scale * mode.amplitude * gainOf(heard, SAMPLE_RATE_HZ, mode.frequencyHz, mode.t60S),
    };
  });
  const variance = (scale * noiseSd) ** 2 + ROUNDING_VARIANCE;
  return {
    sampleRateHz: SAMPLE_RATE_HZ,
    channel: to16Bits(sound, scale),
    truth: {
      kind: "tower",
      place: "tower",
      sampleRateHz: SAMPLE_RATE_HZ,
      durationS: sound.length / SAMPLE_RATE_HZ,
      onsetS: onset / SAMPLE_RATE_HZ,
      roomRtS,
      // The reverberation is so weak that a line need not outlast it.
      lines: trueLines(recorded, SAMPLE_RATE_HZ, () => variance, 0.2),
      othersHz: neighbours.map((m) => m.frequencyHz),
      noteHz: modes.find((m) => m.name === "nominal")!.frequencyHz / 2,
      swingHz,
      sharp,
      faults: [],
    },
  };
}

/** Ascending pairs; the named ones first. */
function towerModes(random: Random, noteHz: number, count: number): CastMode[] {
  const size = (PRIME_OF_T60_HZ / noteHz) ** T60_OF_SIZE;
  const loss = Math.exp(0.2 * random.normal());
  const t60Of = (t60S: number) =>
    Math.min(LONGEST_T60_S, Math.max(SHORTEST_T60_S, t60S * size * loss * Math.exp(0.15 * random.normal())));
  const pairs: { name: string | null; frequencyHz: number; levelDb: number; t60S: number }[] = PARTIALS.map(
    (p) => ({
      name: p.name,
      frequencyHz: noteHz * p.ratio * 2 ** ((p.scatterCents * random.normal()) / 1200),
      // A partial of a good bell is not lost: two standard deviations at the most.
      levelDb: p.levelDb + p.scatterDb * Math.max(-2, Math.min(1.5, random.normal())),
      t60S: t60Of(p.t60S),
    }),
  );
  const nominalHz = pairs[4].frequencyHz;
  // 3 to 5 s at the twelfth, 1 s at the triple octave (Rossing, as above): f^-1.5.
  const t60At = (hz: number) => t60Of(5 * (hz / nominalHz / 1.5) ** -1.5);
  const p = RIM.p + 0.02 * random.normal();
  for (let m = 5; m <= 16; m++) {
    const stretch = ((m + RIM.b) / (RIM.nominalMeridians + RIM.b)) ** p;
    const frequencyHz = nominalHz * stretch * 2 ** ((5 * random.normal()) / 1200);
    const levelDb = -9 - 10 * Math.log2(stretch / 1.5) + 6 * Math.max(-2, Math.min(1.5, random.normal()));
    pairs.push({ name: RIM_NAMES[m - 5] ?? null, frequencyHz, levelDb, t60S: t60At(frequencyHz) });
  }
  while (2 * pairs.length < count) {
    const octaves = Math.sqrt(random.uniform()) * Math.log2(Math.min(HIGHEST_HZ / nominalHz, 10) / 1.05);
    const frequencyHz = nominalHz * 1.05 * 2 ** octaves;
    const levelDb = -20 - 12 * octaves + 8 * Math.max(-2, Math.min(1.5, random.normal()));
    pairs.push({ name: null, frequencyHz, levelDb, t60S: t60At(frequencyHz) / random.between(1, 2) });
  }
  return pairs
    .filter(({ frequencyHz }) => frequencyHz < HIGHEST_HZ)
    .flatMap(({ name, frequencyHz, levelDb, t60S }, pair) => {
      const amplitude = 10 ** (levelDb / 20);
      const split = random.logBetween(1e-4, 3e-3);
      // Where the clapper strikes between the two members' nodes: cos and sin of an angle.
      const angle = random.between(0.05, Math.PI / 2 - 0.05);
      return [Math.cos(angle), Math.sin(angle)].map(
        (share, member): CastMode => ({
          name,
          pair,
          frequencyHz: frequencyHz * (1 + (member - 0.5) * split),
          t60S: t60S * (1 + 0.03 * random.normal()),
          amplitude: amplitude * share,
          phaseRad: (random.sign() * Math.PI) / 2,
        }),
      );
    });
}

/** Hum, prime and tierce of another bell of the set, 35 to 45 dB down. */
function neighbourModes(random: Random, noteHz: number, strongest: number): CastMode[] {
  return [0.5, 1, 1.19].map((ratio) => ({
    name: null,
    pair: -1,
    frequencyHz: noteHz * ratio * 2 ** ((6 * random.normal()) / 1200),
    t60S: random.between(10, 40),
    amplitude: strongest * 10 ** (random.between(-45, -35) / 20),
    phaseRad: random.between(-Math.PI, Math.PI),
  }));
}

function towerResponse(random: Random, blow: Float64Array, rtS: number, directOverDb: number): Float64Array {
  const count = Math.round(rtS * SAMPLE_RATE_HZ);
  const from = Math.round(random.between(0.003, 0.008) * SAMPLE_RATE_HZ);
  const response = new Float64Array(from + count);
  let energy = 0;
  for (let i = 0; i < count; i++) {
    const h = random.normal() * 10 ** ((-3 * i) / count);
    response[from + i] = h;
    energy += h * h;
  }
  const gain = Math.sqrt(10 ** (-directOverDb / 10) / energy);
  for (let i = 0; i < response.length; i++) response[i] *= gain;
  response[0] = 1;
  const whole = new Float64Array(response.length + blow.length - 1);
  whole.set(response);
  return convolve(whole, blow);
}

/** A slow swing in level and a start that is a little sharp. */
function departFromModel(random: Random, ring: Float64Array, onset: number) {
  const depth = random.logBetween(0.003, 0.01);
  const swingHz = random.between(0.4, 1.2);
  const step = (2 * Math.PI * swingHz) / SAMPLE_RATE_HZ;
  const phase = random.between(-Math.PI, Math.PI);
  const sharp = random.logBetween(1e-5, 1e-4);
  const settle = SAMPLE_RATE_HZ;
  // The blow itself stays where it is.
  const moved = delayed(ring, (i) => (i <= onset ? 0 : sharp * settle * Math.expm1(-(i - onset) / settle)));
  for (let i = onset; i < moved.length; i++) {
    moved[i] *=
      1 + depth * Math.exp(-(i - onset) / (4 * SAMPLE_RATE_HZ)) * Math.cos(step * (i - onset) + phase);
  }
  return { moved, swingHz, sharp };
}
