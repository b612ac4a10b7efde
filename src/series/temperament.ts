import { noteToHz } from "../bell/index.ts";
import data from "./data/temperaments.json" with { type: "json" };

/** How the octave is divided. */
export interface Temperament {
  id: string;
  title: string;
  /** The note whose step is 0 cents, such as "C" or "Eb". */
  tonic: string;
  /** Cents of the twelve semitones above the tonic. */
  cents: readonly number[];
  source: string;
}

const SEMITONES = 12;
const A_OF_C = 9;

/** Ids of the temperaments that come with the project, the default first. */
export const TEMPERAMENT_IDS: readonly string[] = data.temperaments.map(({ id }) => id);

/**
 * A temperament that comes with the project, from a tonic.
 *
 * @throws RangeError when there is none of this id, or the tonic is not a note
 */
export function temperamentById(id: string, tonic = "C"): Temperament {
  const found = data.temperaments.find((temperament) => temperament.id === id);
  if (found === undefined) {
    throw new RangeError(`temperament "${id}" is not known; write one of ${TEMPERAMENT_IDS.join(", ")}`);
  }
  pitchClass(tonic);
  return { ...found, tonic };
}

/** A temperament of the user's own: cents of the twelve semitones above the tonic, the first of them 0. */
export function ownTemperament(cents: readonly number[], tonic = "C"): Temperament {
  const ascends = cents.every((value, i) => (i === 0 ? value === 0 : value > cents[i - 1]!));
  if (cents.length !== SEMITONES || !ascends || !(cents.at(-1)! < 1200)) {
    throw new RangeError(
      `a temperament of your own is twelve ascending cents from 0 to below 1200, not ${cents.length} of them from ${cents[0]} to ${cents.at(-1)}`,
    );
  }
  pitchClass(tonic);
  return { id: "own", title: "cents of the series file", tonic, cents, source: "the series file" };
}

/** Semitones above C of a note name without an octave. @throws RangeError when it is none */
function pitchClass(name: string): number {
  try {
    return ((semitoneOf(`${name}4`) % SEMITONES) + SEMITONES) % SEMITONES;
  } catch {
    throw new RangeError(`the tonic "${name}" is not a note; write a letter and an accidental, such as Eb`);
  }
}

/** Semitones above C0 of a note name. */
function semitoneOf(note: string): number {
  return Math.round(SEMITONES * Math.log2(noteToHz(note, 440) / 440)) + 4 * SEMITONES + A_OF_C;
}

/** Cents of a semitone above the tonic nearest below C0. */
function centsAt(semitone: number, { cents, tonic }: Temperament): number {
  const steps = semitone - pitchClass(tonic);
  const octave = Math.floor(steps / SEMITONES);
  return 1200 * octave + cents[steps - SEMITONES * octave]!;
}

/**
 * Frequency in hertz of a note such as "C#6" in a temperament, the A above middle C at `a4Hz`.
 *
 * @throws RangeError when the name is not a note
 */
export function tunedNoteHz(note: string, temperament: Temperament, a4Hz: number): number {
  const aboveA4 = centsAt(semitoneOf(note), temperament) - centsAt(4 * SEMITONES + A_OF_C, temperament);
  return a4Hz * 2 ** (aboveA4 / 1200);
}
