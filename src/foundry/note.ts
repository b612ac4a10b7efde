import { InvalidPlanError } from "./error.ts";

/** Semitones of the naturals above C. */
const NATURALS: Record<string, number> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
const ACCIDENTALS: Record<string, number> = { "": 0, "#": 1, "♯": 1, b: -1, "♭": -1 };

/**
 * Frequency of a note in scientific pitch notation ("C6", "F#5", "Bb4"), equal temperament from A4.
 *
 * @throws InvalidPlanError where it is no such note.
 */
export function noteFrequencyHz(text: string, a4Hz: number): number {
  const match = /^\s*([A-Ga-g])([#♯b♭]?)(-?\d)\s*$/.exec(text);
  if (match === null) {
    throw new InvalidPlanError(
      `"${text}" is not a note; write a letter, # or b where needed, and the octave, for example C6 or F#5`,
    );
  }
  const [, letter, accidental, octave] = match;
  const semitones =
    NATURALS[letter!.toUpperCase()]! + ACCIDENTALS[accidental!]! + 12 * (Number(octave) - 4) - 9;
  return a4Hz * 2 ** (semitones / 12);
}
