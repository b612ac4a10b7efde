import type { Artefacts } from "./artefacts.ts";
import { type BellPlan, renderBell, type SteadyTone, type SyntheticBell } from "./bell.ts";
import { churchBellModes, fastNeighbours, quadruplets, splitPairs } from "./families.ts";
import { linewidthHz, type TrueMode } from "./modes.ts";
import { type NoiseColour, noiseTotalVariance, whiteNoise } from "./noise.ts";
import { makeRandom, type Random } from "./random.ts";

/** What is hard about a bell; the ranges are beside each in planBell. Every kind lasts 4 to 8 s at 44.1 or 48 kHz. */
export const BELL_KINDS = [
  "near",
  "splits",
  "coloured",
  "fast neighbour",
  "quadruplets",
  "burst",
  "bounce",
  "glide",
  "room",
  "gain control",
  "stereo",
] as const;
export type BellKind = (typeof BELL_KINDS)[number];

/** A seeded random bell of a kind, with its truth. */
export function makeBell(kind: BellKind, seed: number): SyntheticBell {
  // Every kind has its own stream, so that the kinds do not share bells.
  const random = makeRandom(seed * BELL_KINDS.length + BELL_KINDS.indexOf(kind));
  const plan = planBell(kind, random);
  return renderBell(plan, random.integer(0, 2 ** 31));
}

function planBell(kind: BellKind, random: Random): BellPlan {
  switch (kind) {
    case "near":
      return quiet(random, churchBellModes(random, 1), {});
    case "stereo":
      return quiet(random, churchBellModes(random, 2), {});
    case "splits":
      // Noise so loud that the strike is hardly seen in the waveform.
      return plan(random, splitPairs(random), (top) => whiteNoise(top * decibels(random.between(-25, -5))));
    case "coloured":
      return coloured(random);
    case "fast neighbour":
      return plan(random, fastNeighbours(random), (top) =>
        whiteNoise(top * decibels(random.between(-60, -40))),
      );
    case "quadruplets":
      return plan(random, quadruplets(random), (top) => whiteNoise(top * decibels(random.between(-50, -25))));
    case "burst":
      return quiet(random, churchBellModes(random, 1), {
        burst: { durationS: 0.002, rms: random.between(0.3, 1) },
      });
    case "bounce":
      return quiet(random, churchBellModes(random, 1), {
        contacts: [
          { delayS: 0, strength: 1 },
          { delayS: 0.006, strength: random.between(0.3, 0.7) },
          { delayS: 0.025, strength: random.between(0.1, 0.4) },
        ],
      });
    case "glide":
      return quiet(random, churchBellModes(random, 1), { glide: { amount: 0.003, timeConstantS: 0.4 } });
    case "room":
      return quiet(random, churchBellModes(random, 1), {
        room: {
          reverberationTimeS: random.between(0.25, 0.6),
          directToReverberantDb: random.between(4, 14),
          delayS: random.between(0.002, 0.008),
        },
      });
    case "gain control":
      return quiet(random, churchBellModes(random, 1), {
        gainControl: {
          thresholdDb: random.between(-12, -6),
          ratio: random.between(2, 8),
          attackS: random.logBetween(0.001, 0.01),
          releaseS: random.logBetween(0.05, 0.3),
        },
      });
  }
}

/** Noise 60 to 80 dB below the peak: 0.6 to 20 steps of 16 bits, so that rounding is dithered. */
function quiet(random: Random, modes: TrueMode[], artefacts: Artefacts): BellPlan {
  const sum = modes.reduce((total, mode) => total + mode.amplitude[0], 0);
  return {
    ...plan(random, modes, () => whiteNoise(sum * 0.6 * decibels(random.between(-80, -60)))),
    artefacts,
  };
}

function plan(random: Random, modes: TrueMode[], noise: (strongest: number) => NoiseColour): BellPlan {
  const strongest = modes.reduce((top, mode) => Math.max(top, ...mode.amplitude), 0);
  return {
    sampleRateHz: random.pick([44100, 48000]),
    durationS: random.between(4, 8),
    quietS: random.between(0.3, 0.6),
    modes,
    noise: Array.from(modes[0].amplitude, () => noise(strongest)),
    tones: [],
    artefacts: {},
    peak: random.between(0.2, 0.7),
  };
}

/** Falling noise, mains hum with harmonics, and one tone 2 to 8 linewidths from a mode, as strong as 0.1 to 1 of it. */
function coloured(random: Random): BellPlan {
  const modes = splitPairs(random);
  const base = plan(random, modes, (top) => {
    const colour = { sd: 1, zero: random.between(0.5, 0.9), pole: random.between(0.97, 0.995) };
    const sd = (top * decibels(random.between(-25, -5))) / Math.sqrt(noiseTotalVariance(colour));
    return { ...colour, sd };
  });
  const loudness = Math.sqrt(noiseTotalVariance(base.noise[0]));
  const mains = random.pick([50, 60]);
  const tone = (frequencyHz: number, amplitude: number): SteadyTone => ({
    frequencyHz,
    amplitude: Float64Array.of(amplitude),
  });
  const hum = [1, 2, 3, 5].map((order) => tone(order * mains, loudness * random.between(0.1, 0.5)));
  const near = random.pick(modes);
  const offsetHz = random.sign() * random.between(2, 8) * linewidthHz(near);
  const whistle = tone(near.frequencyHz + offsetHz, near.amplitude[0] * random.logBetween(0.1, 1));
  return { ...base, tones: [...hum, whistle] };
}

const decibels = (levelDb: number): number => 10 ** (levelDb / 20);
