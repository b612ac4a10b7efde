import { closest, distance } from "fastest-levenshtein";

/** The candidate most like the word, or null where none is like enough: at most a third of the letters differ. */
export function nearest(word: string, candidates: readonly string[]): string | null {
  if (candidates.length === 0) return null;
  const guess = closest(word, candidates);
  return distance(word, guess) <= Math.max(1, Math.floor(word.length / 3)) ? guess : null;
}
