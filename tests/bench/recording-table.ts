import type { TapMeasurement, TapPartial } from "../../src/measurement/index.ts";
import { median } from "./evaluate.ts";
import { GUIDE_BELL, guideRecording, PRIME_HZ, type Setting, tapGuideBell, USUAL } from "./guide-bell.ts";
import { decimals, markdownTable } from "./markdown.ts";

/** A partial counts as found within this of its frequency: the nearest two lie 20 % apart. */
const FOUND_WITHIN = 0.01;

/** What was measured on one invented strike, or on several pooled. */
interface Outcome {
  found: number;
  invented: number;
  snrDb: number;
  /** 95 % half-widths: of the frequency in hertz, of T60 as a part of it; null where not found. */
  hum: { frequencyHz: number; decay: number } | null;
  prime: { frequencyHz: number; decay: number } | null;
  high: { frequencyHz: number; decay: number } | null;
}

const partialAt = (measurement: TapMeasurement, ratio: number): TapPartial | undefined =>
  measurement.partials.find((p) => Math.abs(p.frequencyHz.value / (PRIME_HZ * ratio) - 1) < FOUND_WITHIN);

function widthsAt(measurement: TapMeasurement, name: string) {
  const partial = partialAt(measurement, GUIDE_BELL.find((p) => p.name === name)!.ratio);
  if (partial === undefined) return null;
  const { frequencyHz, decayTimeS } = partial;
  return { frequencyHz: frequencyHz.ci95, decay: decayTimeS.ci95 / decayTimeS.value };
}

/** Measures one invented bell from `strikes` recordings; the seeds of two bells share nothing. */
function outcomeOf(setting: Setting, bell: number, strikes: number): Outcome {
  const inputs = Array.from({ length: strikes }, (_, i) => guideRecording(setting, 1 + 100 * bell + i));
  const measurement = tapGuideBell(inputs);
  if (measurement === null)
    return { found: 0, invented: 0, snrDb: Number.NaN, hum: null, prime: null, high: null };
  const found = GUIDE_BELL.filter(({ ratio }) => partialAt(measurement, ratio) !== undefined).length;
  return {
    found,
    invented: measurement.partials.length - found,
    snrDb: measurement.strikes[0].snrDb,
    hum: widthsAt(measurement, "hum"),
    prime: widthsAt(measurement, "prime"),
    high: widthsAt(measurement, "octave nominal"),
  };
}

/** To two digits, as an uncertainty is shown. */
const significant = (value: number | null): string =>
  value === null ? "-" : `${Number(value.toPrecision(2))}`;

/** The median over the bells that have it; null where fewer than half do. */
function medianOf(outcomes: Outcome[], pick: (outcome: Outcome) => number | null): number | null {
  const values = outcomes.map(pick).filter((v): v is number => v !== null && Number.isFinite(v));
  return values.length * 2 < outcomes.length ? null : median(values);
}

const HEAD = [
  "setting",
  "found of 7",
  "invented",
  "over noise, dB",
  "prime ± mHz",
  "hum T60 ± %",
  "prime T60 ± %",
  "octave nominal T60 ± %",
];

function row(title: string, bells: number, setting: Partial<Setting>, strikes = 1): string[] {
  const outcomes = Array.from({ length: bells }, (_, b) => outcomeOf({ ...USUAL, ...setting }, b, strikes));
  const mean = (pick: (outcome: Outcome) => number) => outcomes.reduce((sum, o) => sum + pick(o), 0) / bells;
  return [
    title,
    decimals(
      mean((o) => o.found),
      1,
    ),
    decimals(
      mean((o) => o.invented),
      1,
    ),
    decimals(
      medianOf(outcomes, (o) => o.snrDb),
      0,
    ),
    significant(medianOf(outcomes, (o) => o.prime && 1000 * o.prime.frequencyHz)),
    significant(medianOf(outcomes, (o) => o.hum && 100 * o.hum.decay)),
    significant(medianOf(outcomes, (o) => o.prime && 100 * o.prime.decay)),
    significant(medianOf(outcomes, (o) => o.high && 100 * o.high.decay)),
  ];
}

const roomOf = (reverberationTimeS: number, directToReverberantDb: number): Setting["artefacts"] => ({
  room: { reverberationTimeS, directToReverberantDb, delayS: 0.005 },
});
const contactsAt = (...delaysMs: number[]): Setting["artefacts"] => ({
  contacts: [
    { delayS: 0, strength: 1 },
    ...delaysMs.map((ms, i) => ({ delayS: ms / 1000, strength: 0.5 / (i + 1) })),
  ],
});
const ROOMS: [reverberationTimeS: number, directToReverberantDb: number][] = [
  [0.3, 10],
  [0.6, 10],
  [1.2, 10],
  [2.5, 10],
  [0.6, 0],
  [1.2, 0],
];

function settingsTable(bells: number): string {
  return markdownTable(HEAD, [
    ...[0.5, 1, 2, 4, 8, 16].map((recordS) => row(`${recordS} s of ring`, bells, { recordS })),
    ...[20, 30, 40, 50, 60].map((db) => row(`peak ${db} dB over noise`, bells, { peakOverNoiseDb: db })),
    ...[0, 0.1, 0.3].map((quietS) => row(`${quietS} s of quiet before`, bells, { quietS })),
    ...[2, 3, 5].map((strikes) => row(`${strikes} strikes`, bells, {}, strikes)),
    row("second contact at 6 ms", bells, { artefacts: contactsAt(6) }),
    row("contacts at 6 and 25 ms", bells, { artefacts: contactsAt(6, 25) }),
    row("second contact at 120 ms", bells, { artefacts: contactsAt(120) }),
    ...ROOMS.map(([t, db]) => row(`room ${t} s, direct ${db} dB`, bells, { artefacts: roomOf(t, db) })),
    ...[2, 4, 8].map((recordS) =>
      row(`room 0.6 s, direct 10 dB, ${recordS} s`, bells, { recordS, artefacts: roomOf(0.6, 10) }),
    ),
  ]);
}

const SPLITS_HZ = [2, 1.5, 1, 0.7, 0.5, 0.35, 0.25, 0.18, 0.13, 0.09, 0.06, 0.04];
const WANTED_SHARE = 0.9;

/** The prime is seen as split, and the split lies within half of itself of the truth. */
function isResolved(setting: Setting, bell: number): boolean {
  const measurement = tapGuideBell([guideRecording(setting, 1 + 100 * bell)]);
  const doublet = measurement === null ? null : partialAt(measurement, 1)?.doublet;
  return doublet != null && Math.abs(doublet.splitHz.value - setting.splitHz) < setting.splitHz / 2;
}

/** The smallest split of the prime that is seen in nine bells of ten, from wide to narrow until the first that is not. */
function smallestSplitHz(bells: number, setting: Partial<Setting>): number | null {
  let smallest: number | null = null;
  for (const splitHz of SPLITS_HZ) {
    let seen = 0;
    for (let bell = 0; bell < bells; bell++) {
      if (isResolved({ ...USUAL, ...setting, splitHz }, bell)) seen++;
    }
    if (seen < WANTED_SHARE * bells) break;
    smallest = splitHz;
  }
  return smallest;
}

function splitTable(bells: number): string {
  const levels = [30, 45, 60];
  const rows = [1, 2, 4, 8, 16].map((recordS) => [
    `${recordS} s`,
    ...levels.map((peakOverNoiseDb) => {
      const smallest = smallestSplitHz(bells, { recordS, peakOverNoiseDb });
      return smallest === null ? `over ${SPLITS_HZ[0]}` : `${smallest}`;
    }),
  ]);
  return markdownTable(["ring recorded", ...levels.map((db) => `peak ${db} dB over noise`)], rows);
}

/** How recording decides what can be measured: an invented bell through the whole of `tap`. For the recording guide. */
export function recordingTables(bells: number): string {
  return [
    `95 % half-widths, medians of ${bells} bells; else 12 s of ring, 1 s of quiet, peak 40 dB over the noise, one strike`,
    settingsTable(bells),
    `Smallest split of the prime, hertz, seen in nine bells of ten (${bells} bells)`,
    splitTable(bells),
  ].join("\n\n");
}
