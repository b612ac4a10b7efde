/**
 * Ratios of three measured bells, with names where the source or this file gives them:
 * - an English church bell in D5: Fletcher & Rossing, The Physics of Musical Instruments, 2nd ed., table 21.1, after Perrin,
 *   Charnley & dePont, J. Sound Vib. 90 (1983) 29-49 (from memory);
 * - the Albert Clock bell, Belfast: public Csound tables by I. McCurdy, 2011 (read; names are this file's reading);
 * - a small handbell: Csound manual, appendix Modal Frequency Ratios (read; lower members of its pairs).
 * Decays and levels are invented, since the sources give none that can be compared.
 */
import type { TapMeasurement } from "../../../src/measurement/index.ts";
import { type PartialSpec, sampleMeasurement } from "../../support/sample-parts.ts";

type Row = [name: string | null, frequencyHz: number];

const church: Row[] = [
  ["hum", 0.5],
  ["prime", 1],
  ["tierce", 1.183],
  ["quint", 1.506],
  ["nominal", 2],
  [null, 2.514],
  [null, 2.662],
  ["superquint", 3.011],
  ["octave nominal", 4.166],
].map(([name, ratio]) => [name as string | null, 587 * (ratio as number)]);

const clock: Row[] = [
  ["hum", 0.2541],
  ["prime", 0.5589],
  ["tierce", 0.612],
  ["quint", 0.8017],
  ["nominal", 1],
  ["superquint", 1.4771],
  [null, 1.8149],
  [null, 1.9015],
  ["octave nominal", 2.0433],
].map(([name, ratio]) => [name as string | null, 1100 * (ratio as number)]);

const handbell: Row[] = [1312, 2353.3, 3306.5, 3923.8, 4966.6, 5994.4, 6598.9].map((f) => [null, f]);

function measured(label: string, rows: Row[], scale = 1): TapMeasurement {
  const specs = rows.map(([name, frequencyHz]): PartialSpec => {
    return { name, frequencyHz: frequencyHz * scale, lossFactor: 3e-4, levelDb: -3 };
  });
  return sampleMeasurement(specs, { label });
}

export const churchBell = (scale = 1): TapMeasurement => measured("church bell in D5", church, scale);
export const clockBell = (): TapMeasurement => measured("Albert Clock bell", clock);
export const smallHandbell = (): TapMeasurement => measured("small handbell", handbell);
