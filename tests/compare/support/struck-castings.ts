/**
 * Invented castings with a known truth, struck several times: partials as a measurement gives them, with errors drawn as
 * they come. No audio is made, so that hundreds of pairs take seconds.
 */
import type { TapMeasurement, TapPartial } from "../../../src/measurement/index.ts";
import {
  type PartialSpec,
  sampleMeasurement,
  samplePartial,
  sampleStrike,
} from "../../support/sample-parts.ts";
import type { Random } from "../../support/synthetic/random.ts";

const LN_1000 = Math.log(1000);

/** One partial as it truly is. */
export interface TruePartial {
  name: string | null;
  nodalMeridians: number | null;
  frequencyHz: number;
  decayTimeS: number;
  levelDb: number;
  /** Matched-filter signal-to-noise ratio of one strike. */
  rho: number;
  /** True spread between strikes, relative standard deviations. */
  strikeFrequency: number;
  strikeDecay: number;
}

const NAMED: [name: string | null, m: number | null, ratio: number][] = [
  ["hum", 2, 0.5],
  ["prime", 2, 1],
  ["tierce", 3, 1.2],
  ["quint", 3, 1.5],
  ["nominal", 4, 2],
  [null, null, 2.5],
  ["superquint", 5, 3],
  ["octave nominal", 6, 4],
  [null, 7, 5.2],
  [null, 8, 6.6],
];

/** A casting whose ratios lie some per cent off, with loss factors of a few parts in ten thousand. */
export function inventCasting(random: Random): TruePartial[] {
  const primeHz = 300 * 4 ** random.uniform();
  return NAMED.filter(([name]) => name !== "quint" || random.uniform() > 0.3).map(
    ([name, nodalMeridians, ratio]) => {
      const frequencyHz = primeHz * ratio * Math.exp(0.02 * random.normal());
      const lossFactor = 2e-4 * (frequencyHz / 500) ** 0.3 * Math.exp(0.3 * random.normal());
      return {
        name,
        nodalMeridians,
        frequencyHz,
        decayTimeS: LN_1000 / (Math.PI * frequencyHz * lossFactor),
        levelDb: -15 * random.uniform(),
        rho: 10 ** (2 + 3 * random.uniform()),
        // Partials of one bell differ in how much they change from strike to strike.
        strikeFrequency: 2e-5 * Math.exp(0.5 * random.normal()),
        strikeDecay: 0.03 * Math.exp(0.5 * random.normal()),
      };
    },
  );
}

interface Pooled {
  mean: number;
  sd: number;
  spread: number | null;
}

/** Pooled by inverse variance with the variance between strikes (DerSimonian & Laird 1986), equal weights. */
function pool(values: number[], sd: number): Pooled {
  const count = values.length;
  const mean = values.reduce((sum, value) => sum + value, 0) / count;
  if (count === 1) return { mean, sd, spread: null };
  const variance = values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (count - 1);
  return { mean, sd: Math.sqrt(Math.max(variance, sd * sd) / count), spread: Math.sqrt(variance) };
}

/** What warmth and the recorder's clock add to all frequencies of one strike alike, relative standard deviation. */
const COMMON_FREQUENCY = 1e-5;

/** The casting measured from several strikes. */
export function strikeCasting(
  casting: readonly TruePartial[],
  strikes: number,
  random: Random,
): TapMeasurement {
  const common = Array.from({ length: strikes }, () => COMMON_FREQUENCY * random.normal());
  const partials = casting.map((truth): TapPartial => {
    const decayRate = LN_1000 / truth.decayTimeS;
    // sd(f) = linewidth / sqrt(2 rho), and the same in radians per second for the decay rate.
    const frequencySd = decayRate / Math.PI / Math.sqrt(2 * truth.rho);
    const relativeRateSd = (2 * Math.PI * frequencySd) / decayRate;
    const frequency = pool(
      common.map((shift) => {
        const strike = truth.frequencyHz * (1 + shift + truth.strikeFrequency * random.normal());
        return strike + frequencySd * random.normal();
      }),
      frequencySd,
    );
    const rate = pool(
      common.map(
        () =>
          decayRate * (1 + truth.strikeDecay * random.normal()) +
          relativeRateSd * decayRate * random.normal(),
      ),
      relativeRateSd * decayRate,
    );
    const decayTimeS = LN_1000 / rate.mean;
    const relative = rate.sd / rate.mean;
    const spec: PartialSpec = {
      name: truth.name,
      nodalMeridians: truth.nodalMeridians,
      frequencyHz: frequency.mean,
      lossFactor: LN_1000 / (Math.PI * frequency.mean * decayTimeS),
      levelDb: truth.levelDb + 3 * random.normal(),
      rho: truth.rho,
    };
    return {
      ...samplePartial(spec, casting[1].frequencyHz),
      frequencyHz: { value: frequency.mean, ci95: 1.96 * frequency.sd },
      decayTimeS: { value: decayTimeS, ci95: 1.96 * relative * decayTimeS },
      strikeSpreadHz: frequency.spread,
      strikeSpreadS: rate.spread === null ? null : (rate.spread / rate.mean) * decayTimeS,
    };
  });
  return sampleMeasurement([], {
    label: "Invented casting",
    partials,
    strikes: Array.from({ length: strikes }, (_, i) =>
      sampleStrike({ onsetS: 10 * i, peakDbfs: -6 + random.normal() }),
    ),
    findings: [],
    curves: { spectrum: { frequencyHz: [], levelDb: [], noiseDb: [] }, ringDowns: [] },
  });
}
