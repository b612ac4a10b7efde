import { decayRateOfT60, makeRandom } from "../support/synthetic/index.ts";
import type { Estimator } from "./estimator.ts";
import { runTrial } from "./evaluate.ts";
import { decimals, markdownTable } from "./markdown.ts";
import { makePairBell } from "./sweep-table.ts";

const T60_S = 1;
const RECORD_S = 3;
/** From far to near, in linewidths: twelve steps a decade. */
const SPLITS = Array.from({ length: 20 }, (_, i) => 3 * 10 ** (-i / 12));
const WANTED_SHARE = 0.95;

/** The smallest split that is placed right 95 % of the time, from wide to narrow until the first that is not. */
export function resolutionTable(
  estimator: Estimator,
  bells: number,
  snrsDb: number[],
  ratios: number[],
): string {
  const linewidth = decayRateOfT60(T60_S) / Math.PI;
  const rows = ratios.flatMap((ratio) =>
    snrsDb.map((snrDb) => {
      let smallest: number | null = null;
      for (const split of SPLITS) {
        if (resolvedShare(estimator, bells, snrDb, ratio, split * linewidth) < WANTED_SHARE) break;
        smallest = split;
      }
      const perRecord = smallest === null ? null : smallest * linewidth * RECORD_S;
      const none = `over ${SPLITS[0]}`;
      return [
        `${ratio}`,
        `${snrDb}`,
        smallest === null ? none : decimals(smallest, 2),
        decimals(perRecord, 2),
      ];
    }),
  );
  const head = ["member ratio", "SNR dB", "smallest split, linewidths", "in 1/record length"];
  return markdownTable(head, rows);
}

/** Placed right: both members found, nothing invented beside them, and the split within half of itself. */
function resolvedShare(
  estimator: Estimator,
  bells: number,
  snrDb: number,
  ratio: number,
  splitHz: number,
): number {
  const random = makeRandom(2);
  let resolved = 0;
  let pairs = 0;
  for (let b = 0; b < bells; b++) {
    const bell = makePairBell({ pairs: true, snrDb, t60S: T60_S, recordS: RECORD_S, splitHz, ratio }, random);
    const { score, truth } = runTrial(estimator, bell);
    const errorHz = (mode: number): number | null => {
      const match = score.matched.find((m) => m.mode === mode);
      if (match === undefined) return null;
      return (match.frequencyErrorLinewidths * truth.modes[mode].decayRatePerS) / Math.PI;
    };
    // Modes ascend in frequency, so that neighbours in the list are the pairs.
    for (let mode = 0; mode < truth.modes.length; mode += 2) {
      const low = errorHz(mode);
      const high = errorHz(mode + 1);
      pairs++;
      if (low !== null && high !== null && Math.abs(high - low) < splitHz / 2 && score.invented.length === 0)
        resolved++;
    }
  }
  return resolved / pairs;
}
