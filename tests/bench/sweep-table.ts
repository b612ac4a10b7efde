import {
  countOf,
  decayRateOfT60,
  makeRandom,
  type Random,
  renderBell,
  type SyntheticBell,
  summarise,
  type TrueMode,
  whiteNoise,
} from "../support/synthetic/index.ts";
import type { Estimator } from "./estimator.ts";
import { missedFromOnset, runTrial } from "./evaluate.ts";
import { decimals, markdownTable } from "./markdown.ts";

/** Four equal singles or four equal pairs in white noise. */
export interface PairCase {
  pairs: boolean;
  /** 4 rho of the stronger member in decibels: signal to noise in the bandwidth of the decay. */
  snrDb: number;
  t60S: number;
  /** Of ring; 0.4 s of quiet come before it. */
  recordS: number;
  splitHz: number;
  /** Weaker member over stronger one. */
  ratio: number;
}

const CENTRE: PairCase = { pairs: false, snrDb: 45, t60S: 3, recordS: 6, splitHz: 2, ratio: 0.5 };

/** One thing at a time is changed from the centre. */
const STEPS: {
  name: string;
  of: (value: number) => Partial<PairCase>;
  values: number[];
  pairs: boolean[];
}[] = [
  { name: "SNR dB", of: (snrDb) => ({ snrDb }), values: [10, 20, 30, 40, 50, 60], pairs: [false, true] },
  { name: "T60 s", of: (t60S) => ({ t60S }), values: [0.2, 0.7, 2, 6, 15, 40], pairs: [false, true] },
  { name: "record s", of: (recordS) => ({ recordS }), values: [1, 2, 5, 10, 20], pairs: [false, true] },
  {
    name: "split Hz",
    of: (splitHz) => ({ splitHz }),
    values: [0.05, 0.1, 0.2, 0.5, 1, 2, 5],
    pairs: [true],
  },
  { name: "ratio", of: (ratio) => ({ ratio }), values: [1, 0.5, 0.2, 0.1], pairs: [true] },
];

const CENTRES_HZ = [430, 1010, 2270, 4900];
const SAMPLE_RATE_HZ = 44100;

/** Frequencies within 10 % of fixed centres, phases at random. */
export function makePairBell(c: PairCase, random: Random): SyntheticBell {
  const alpha = decayRateOfT60(c.t60S);
  const member = (frequencyHz: number, amplitude: number): TrueMode => ({
    frequencyHz,
    decayRatePerS: alpha,
    amplitude: Float64Array.of(amplitude),
    phaseRad: Float64Array.of(random.between(-Math.PI, Math.PI)),
  });
  const modes = CENTRES_HZ.flatMap((centreHz) => {
    const frequencyHz = centreHz * random.between(0.95, 1.05);
    const strong = member(frequencyHz, 1);
    return c.pairs ? [strong, member(frequencyHz + random.sign() * c.splitHz, c.ratio)] : [strong];
  });
  const rho = 10 ** (c.snrDb / 10) / 4;
  return renderBell(
    {
      sampleRateHz: SAMPLE_RATE_HZ,
      durationS: 0.4 + c.recordS,
      quietS: 0.4,
      modes,
      noise: [whiteNoise(Math.sqrt(SAMPLE_RATE_HZ / (8 * alpha * rho)))],
      tones: [],
      artefacts: {},
      peak: 0.5,
    },
    random.integer(0, 2 ** 31),
  );
}

/** RMSE over the bound against signal-to-noise ratio, ring time, record length, split and member ratio. */
export function sweepTable(estimator: Estimator, bells: number): string {
  const rows: string[][] = [];
  for (const step of STEPS) {
    for (const pairs of step.pairs) {
      for (const value of step.values) {
        const random = makeRandom(1);
        const trials = Array.from({ length: bells }, () => {
          const bell = makePairBell({ ...CENTRE, pairs, ...step.of(value) }, random);
          return runTrial(estimator, bell);
        });
        const scores = trials.map((trial) => trial.score);
        const counts = { ...countOf(scores), ...missedFromOnset(trials) };
        const row = summarise(scores, { spacing: "any", minimumRho: 50 });
        rows.push([
          pairs ? "pairs" : "singles",
          `${step.name} ${value}`,
          `${counts.bells * CENTRES_HZ.length * (pairs ? 2 : 1)}`,
          `${counts.missed}/${counts.seeable}`,
          `${counts.invented}`,
          decimals(row.frequencyRmse, 2),
          decimals(row.decayRmse, 2),
          decimals(row.levelRmse, 2),
          estimator.hasIntervals && row.frequencyCoverage !== null
            ? decimals(100 * row.frequencyCoverage, 0)
            : "-",
          estimator.hasIntervals && row.decayCoverage !== null ? decimals(100 * row.decayCoverage, 0) : "-",
        ]);
      }
    }
  }
  const centre = `centre: SNR ${CENTRE.snrDb} dB in the decay bandwidth, T60 ${CENTRE.t60S} s, record ${CENTRE.recordS} s, split ${CENTRE.splitHz} Hz, ratio ${CENTRE.ratio}`;
  const head = ["partials", "changed", "modes", "missed of seeable", "invented", "f", "decay", "level"];
  return `${centre}\n\n${markdownTable([...head, "f in 95 %", "decay in 95 %"], rows)}`;
}
