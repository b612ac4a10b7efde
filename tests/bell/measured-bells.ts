/** Published bells as lists of partials, copied with their sources. */
import type { PartialToName } from "../../src/bell/index.ts";

/** Partials without level or decay, as tables give them. */
export function partialsAt(frequenciesHz: readonly number[], levelDb = -10): PartialToName[] {
  return frequenciesHz.map((value) => ({
    frequencyHz: { value, ci95: 1e-5 * value },
    levelDb,
    decayTimeS: Number.NaN,
  }));
}

/**
 * D5 English church bell, ratios to the prime: bell of Perrin, Charnley & dePont, J. Sound Vib. 90 (1983) 29-49, as in
 * Fletcher & Rossing, Physics of Musical Instruments, 2nd ed., Table 21.1 (from memory).
 */
export const D5_BELL: readonly [string, number, number][] = [
  ["hum", 0.5, 2],
  ["prime", 1, 2],
  ["tierce", 1.183, 3],
  ["quint", 1.506, 3],
  ["nominal", 2, 4],
  ["deciem", 2.514, 4],
  ["undeciem", 2.662, 2],
  ["superquint", 3.011, 5],
  ["octave nominal", 4.166, 6],
  ["upper fourth", 5.433, 7],
  ["upper sixth", 6.796, 8],
  ["triple octave", 8.215, 9],
];

/**
 * Albert Clock bell, Belfast, an old-style bell: the main list of the public Csound tables by I. McCurdy (2011), read;
 * ratios to the nominal, the two members of a doublet averaged. No names in the source: these are read off the ratios;
 * null where no name fits, and m counted on along the rim partials.
 */
export const ALBERT_CLOCK_BELL: readonly [string | null, number, number | null][] = [
  ["hum", 0.25412, 2],
  ["tierce", 0.612007, 3],
  ["quint", 0.809697, 3],
  ["nominal", 1.0014, 4],
  ["superquint", 1.479986, 5],
  [null, 1.901476, null],
  ["octave nominal", 2.043588, 6],
  [null, 2.366563, null],
  [null, 2.391301, null],
  ["upper fourth", 2.660367, 7],
  ["upper sixth", 3.329931, 8],
  ["triple octave", 4.02812, 9],
  [null, 4.768686, 10],
  [null, 5.500494, 11],
];

/**
 * A small handbell, Hz, doublets averaged: Csound manual, appendix Modal Frequency Ratios (compiled by J. Bower,
 * contributed by S. Lindroth), read.
 */
export const HANDBELL_HZ = [
  ...[1313.25, 2358.1, 3307.95, 3926, 4980.15, 5998.7, 6609.3, 7862.45, 8433.2, 9298.8, 9602.3, 9912.4],
];

/** Singing bowls, Hz, modes (2,0) presumed and up: the same appendix, read. */
export const SINGING_BOWLS_HZ = [
  [221, 614, 1145, 1804, 2577, 3456, 4419],
  [314, 836, 1519, 2360, 3341, 4462, 5696],
  [528, 1460, 2704, 4122, 5694],
];

/** Uniform aluminium bar, ratios to the first mode: the same appendix, read. */
export const ALUMINIUM_BAR = [1, 2.756, 5.423, 8.988, 13.448, 18.68];
