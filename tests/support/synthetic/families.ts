import { decayRateOfT60, linewidthHz, type TrueMode } from "./modes.ts";
import type { Random } from "./random.ts";

/**
 * Partials of an English church bell over its prime, hum to triple octave.
 * Perrin, Charnley & dePont, J. Sound Vib. 90 (1983) 29-49, as tabulated in Fletcher & Rossing,
 * The Physics of Musical Instruments, table 21.1 (from memory); here only a pattern to draw near.
 */
const CHURCH_BELL_RATIOS = [
  0.5, 1, 1.183, 1.506, 2, 2.514, 2.662, 3.011, 4.166, 5.433, 6.796, 8.215, 9.7, 11.3,
];

/** Mostly a sine at the first contact, as a body struck from rest: phase -90 or 90 degrees, give or take 17. */
function strikePhase(random: Random): number {
  return (random.sign() * Math.PI) / 2 + 0.3 * random.normal();
}

/** A mode heard in `channels` channels, each with its own level (within 10 dB either way) and phase. */
function makeMode(
  random: Random,
  frequencyHz: number,
  decayRatePerS: number,
  amplitude: number,
  channels = 1,
): TrueMode {
  const own = (c: number) => (c === 0 ? amplitude : amplitude * 10 ** (random.between(-10, 10) / 20));
  return {
    frequencyHz,
    decayRatePerS,
    amplitude: Float64Array.from({ length: channels }, (_, c) => own(c)),
    phaseRad: Float64Array.from({ length: channels }, () => strikePhase(random)),
  };
}

/**
 * 10 to 20 modes within 1.5 % of the tuned ratios, prime 250 to 1,400 Hz; T60 of the hum 5 to 20 s, falling as
 * f^-0.6 to f^-1.1; half of them pairs, split 0.05 to 5 Hz, member ratio 0.1 to 1, decay rates within 5 %; 0 to -40 dB.
 */
export function churchBellModes(random: Random, channels: number): TrueMode[] {
  const primeHz = random.logBetween(250, 1400);
  const humT60S = random.logBetween(5, 20);
  const slope = random.between(0.6, 1.1);
  const count = random.integer(10, 20);
  const modes: TrueMode[] = [];
  for (const ratio of CHURCH_BELL_RATIOS) {
    const frequencyHz = primeHz * ratio * (1 + random.between(-0.015, 0.015));
    const t60S = humT60S * (ratio / 0.5) ** -slope * Math.exp(0.2 * random.normal());
    const amplitude = 10 ** (random.between(-40, 0) / 20);
    const alpha = decayRateOfT60(t60S);
    const paired = random.uniform() < 0.5;
    if (modes.length >= count || frequencyHz > 18000) continue;
    modes.push(makeMode(random, frequencyHz, alpha, amplitude, channels));
    if (!paired || modes.length >= count) continue;
    const splitHz = random.logBetween(0.05, 5);
    const ratioOfPair = random.logBetween(0.1, 1);
    const second = alpha * random.between(0.95, 1.05);
    modes.push(makeMode(random, frequencyHz + splitHz, second, amplitude * ratioOfPair, channels));
  }
  return modes;
}

/** Centres 200 to 8,000 Hz for groups of modes, far enough apart that the groups do not meet. */
function spreadCentres(random: Random, count: number, widthHz: (index: number) => number): number[] {
  const centres: number[] = [];
  while (centres.length < count) {
    const frequencyHz = random.logBetween(200, 8000);
    const own = widthHz(centres.length);
    if (centres.every((f, i) => Math.abs(f - frequencyHz) > 30 + 10 * (own + widthHz(i))))
      centres.push(frequencyHz);
  }
  return centres;
}

/** 3 to 6 pairs, T60 0.7 to 8 s, split 0.1 to 3 linewidths, member ratio 0.1 to 1, decay rates within 10 %, 0 to -20 dB. */
export function splitPairs(random: Random): TrueMode[] {
  const alphas = Array.from({ length: random.integer(3, 6) }, () =>
    decayRateOfT60(random.logBetween(0.7, 8)),
  );
  const width = (i: number) => linewidthHz({ decayRatePerS: alphas[i] });
  const centres = spreadCentres(random, alphas.length, width);
  return centres.flatMap((centreHz, i) => {
    const amplitude = 10 ** (random.between(-20, 0) / 20);
    const splitHz = random.sign() * random.logBetween(0.1, 3) * width(i);
    const second = alphas[i] * random.between(0.9, 1.1);
    return [
      makeMode(random, centreHz, alphas[i], amplitude),
      makeMode(random, centreHz + splitHz, second, amplitude * random.logBetween(0.1, 1)),
    ];
  });
}

/** 3 to 6 modes, T60 1.5 to 8 s, 0 to -20 dB, each with a neighbour 10 Hz off that decays 20 times faster and starts 10 times stronger. */
export function fastNeighbours(random: Random): TrueMode[] {
  const alphas = Array.from({ length: random.integer(3, 6) }, () =>
    decayRateOfT60(random.logBetween(1.5, 8)),
  );
  const centres = spreadCentres(random, alphas.length, (i) => linewidthHz({ decayRatePerS: 20 * alphas[i] }));
  return centres.flatMap((frequencyHz, i) => {
    const amplitude = 10 ** (random.between(-20, 0) / 20);
    return [
      makeMode(random, frequencyHz, alphas[i], amplitude),
      makeMode(random, frequencyHz + 10 * random.sign(), 20 * alphas[i], 10 * amplitude),
    ];
  });
}

/** 2 to 4 groups of four modes, neighbours 0.8 to 4 linewidths apart, T60 1 to 8 s within 10 %, members within 10 dB, groups 0 to -20 dB. */
export function quadruplets(random: Random): TrueMode[] {
  const alphas = Array.from({ length: random.integer(2, 4) }, () => decayRateOfT60(random.logBetween(1, 8)));
  const width = (i: number) => linewidthHz({ decayRatePerS: alphas[i] });
  const centres = spreadCentres(random, alphas.length, (i) => 4 * width(i));
  return centres.flatMap((centreHz, i) => {
    const amplitude = 10 ** (random.between(-20, 0) / 20);
    let frequencyHz = centreHz;
    return Array.from({ length: 4 }, () => {
      const member = amplitude * 10 ** (random.between(-10, 0) / 20);
      const mode = makeMode(random, frequencyHz, alphas[i] * random.between(0.9, 1.1), member);
      frequencyHz += random.between(0.8, 4) * width(i);
      return mode;
    });
  });
}
