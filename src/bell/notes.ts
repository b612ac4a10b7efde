import type { Estimate } from "../measurement/index.ts";
import { cents, centsAbove } from "./estimate.ts";

export interface Note {
  /** Scientific pitch name in equal temperament, with sharps: "C6", "F#4". */
  note: string;
  /** Above the note, between -50 and 50. */
  cents: Estimate;
}

/** ISO 16:1975. */
export const CONCERT_A4_HZ = 440;

const SHARP_NAMES = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"];
const NATURALS: Record<string, number> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
/** Semitones of each accidental; both the letters and the signs of Unicode, doubled at most. */
const ACCIDENTALS: Record<string, number> = {
  ...{ "": 0, "♮": 0, "#": 1, "♯": 1, "##": 2, "♯♯": 2, x: 2, "𝄪": 2 },
  ...{ b: -1, "♭": -1, bb: -2, "♭♭": -2, "𝄫": -2 },
};
/** A4 counted in semitones from C0. */
const A4_SEMITONE = 57;
const SEMITONES = 12;

function checkA4(a4Hz: number): void {
  if (!(Number.isFinite(a4Hz) && a4Hz > 0)) {
    throw new RangeError(`A4 is ${a4Hz} Hz; it must be a number above 0, 440 for concert pitch`);
  }
}

/** Frequency of the note so many semitones above C0. */
function semitoneHz(semitone: number, a4Hz: number): number {
  return a4Hz * 2 ** ((semitone - A4_SEMITONE) / SEMITONES);
}

/**
 * The nearest note of equal temperament and the cents above it; halfway goes to the upper note.
 *
 * @throws RangeError when the frequency or A4 is not a number above 0
 */
export function noteOf(frequencyHz: Estimate, a4Hz: number): Note {
  checkA4(a4Hz);
  const hertz = frequencyHz.value;
  if (!(Number.isFinite(hertz) && hertz > 0)) {
    throw new RangeError(`frequency is ${hertz} Hz; a note needs a number above 0`);
  }
  const semitone = A4_SEMITONE + Math.round(cents(hertz, a4Hz) / 100);
  const octave = Math.floor(semitone / SEMITONES);
  return {
    note: `${SHARP_NAMES[semitone - octave * SEMITONES]}${octave}`,
    cents: centsAbove(frequencyHz, semitoneHz(semitone, a4Hz)),
  };
}

/**
 * Frequency in hertz of a note in scientific pitch notation: a letter, an accidental, an octave; "C#6", "Db6",
 * "c♯6", "B♭-1".
 *
 * @throws RangeError when the name is not a note, or A4 not a number above 0
 */
export function noteToHz(name: string, a4Hz: number): number {
  checkA4(a4Hz);
  const parts = /^([A-Ga-g])(##?|♯♯?|♮|x|𝄪|bb?|♭♭?|𝄫)?([-−]?\d{1,2})$/u.exec(name.trim());
  if (parts === null) {
    throw new RangeError(`"${name}" is not a note; write a letter, an accidental and an octave, such as C#6`);
  }
  const [, letter, accidental = "", octave] = parts;
  const semitone =
    NATURALS[letter.toUpperCase()] + ACCIDENTALS[accidental] + SEMITONES * Number(octave.replace("−", "-"));
  return semitoneHz(semitone, a4Hz);
}
