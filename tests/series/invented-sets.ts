/**
 * Invented sets with the truth known: no such bell was cast. Bells come from the mould some tens of cents sharp in every
 * partial; each cut lowers them by a slope of the bell's own, scattered from cut to cut.
 */
import { profileById } from "../../src/bell/index.ts";
import type { Estimate } from "../../src/measurement/index.ts";
import { analyseSeries, readSeries, type SeriesInput, type SeriesResult } from "../../src/series/index.ts";
import type { makeRandom } from "../support/synthetic/index.ts";

export const RATIOS: Record<string, number> = { hum: 0.5, prime: 1, tierce: 1.2, quint: 1.5, nominal: 2 };
/** Cents a gram on the first bell, at the inner lip; the quint goes the other way. */
export const SLOPES: Record<string, number> = {
  hum: -0.5,
  prime: -0.35,
  tierce: -0.6,
  quint: 0.08,
  nominal: -0.8,
};
/** Standard deviations, relative: of slopes between bells, and between cuts on one bell. */
const BELL_SCATTER = 0.15;
const CUT_SCATTER = 0.1;
/** Standard deviation of a measured frequency, cents, and its stated half-width. */
const ERROR_CENTS = 0.1;
export const STATED_CENTS = 1.96 * ERROR_CENTS;
const CUTS_G = [14, 40, 20];

type Random = ReturnType<typeof makeRandom>;

export interface TrueBell {
  name: string;
  targetHz: number;
  /** Grams on the first bell that do the same as one gram on this one. */
  perG: number;
  /** This bell's own slope, cents a gram. */
  slope: Record<string, number>;
  /** Deviation of each partial after each pass. */
  cents: Record<string, number>[];
}

/** Twelve bells up a scale, four passes each. Smaller bells move further for a gram. */
export function inventedSet(random: Random, count = 12): TrueBell[] {
  return Array.from({ length: count }, (_, i) => {
    const targetHz = 523.25 * 2 ** (i / 12);
    const perG = 2 ** ((3 * i) / 12);
    const slope: Record<string, number> = {};
    for (const name of Object.keys(RATIOS)) {
      slope[name] = SLOPES[name]! * perG * (1 + BELL_SCATTER * random.normal());
    }
    const first: Record<string, number> = {};
    for (const name of Object.keys(RATIOS)) first[name] = random.between(8, 30) - SLOPES[name]! * 74;
    first.quint = random.between(-20, -8);
    const cents = [first];
    for (const grams of CUTS_G) cents.push(cut({ slope }, cents.at(-1)!, grams / perG, random));
    return { name: `bell ${i + 1}`, targetHz, perG, slope, cents };
  });
}

/** What a cut really does: no two lie alike. */
export function cut(
  { slope }: Pick<TrueBell, "slope">,
  before: Record<string, number>,
  grams: number,
  random: Random,
): Record<string, number> {
  return Object.fromEntries(
    Object.entries(before).map(([name, cents]) => [
      name,
      cents + slope[name]! * grams * (1 + CUT_SCATTER * random.normal()),
    ]),
  );
}

/** The set as it would be measured. */
export function measureSet(
  bells: readonly TrueBell[],
  random: Random,
  over: Partial<SeriesInput> = {},
): SeriesInput {
  const lines = bells.map(({ name, targetHz, perG, cents }) => {
    const passes = cents.map((_, j) => {
      const removed = j === 0 ? "" : `, removedG: ${CUTS_G[j - 1]! / perG}, at: inner lip`;
      return `      - {recordings: [${name}-${j}.wav]${removed}}`;
    });
    return `  - name: ${name}\n    target: ${targetHz}\n    passes:\n${passes.join("\n")}`;
  });
  const partialsOf = ({ targetHz, cents }: TrueBell, j: number) =>
    Object.entries(RATIOS).map(([name, ratio]) => {
      const hertz = targetHz * ratio * 2 ** ((cents[j]![name]! + ERROR_CENTS * random.normal()) / 1200);
      const frequencyHz: Estimate = { value: hertz, ci95: (hertz * STATED_CENTS * Math.LN2) / 1200 };
      const decayTimeS = { value: 4000 / hertz, ci95: 40 / hertz };
      return { name, frequencyHz, decayTimeS };
    });
  return {
    file: readSeries(`set: invented\nbells:\n${lines.join("\n")}\n`),
    profile: profileById("minor-third"),
    measured: bells.map((bell) =>
      bell.cents.map((_, j) => ({ findings: [], partials: partialsOf(bell, j) })),
    ),
    failed: [],
    tool: { version: "0", method: "invented" },
    temperature: null,
    ...over,
  };
}

export const analysed = (bells: readonly TrueBell[], random: Random): SeriesResult =>
  analyseSeries(measureSet(bells, random));
