import type { Temperament } from "../temperament.ts";

/** A series file as it was understood: defaults filled in, targets in hertz. */
export interface SeriesFile {
  set: string;
  a4Hz: number;
  temperament: Temperament;
  /** Id of a built-in profile of ideal ratios, or a JSON file beside the series file. */
  profile: string;
  /** "a4": targets stand as written; "set": they move together by the best common shift. */
  anchor: "a4" | "set";
  bells: SeriesBell[];
}

export interface SeriesBell {
  name: string;
  /** As written: a note or hertz. */
  target: string;
  targetHz: number;
  alloy: string | null;
  /** Mass as cast, before the first cut. */
  massKg: number | null;
  diameterMm: number | null;
  passes: SeriesPass[];
}

/** One measurement of a bell, and what was taken off it since the pass before. */
export interface SeriesPass {
  /** As written, e.g. "2026-05-01"; null when not told. */
  date: string | null;
  recordings: string[];
  /** Line of the file where the pass begins, from 1. */
  line: number;
  removedG: number | null;
  removedMm: number | null;
  at: string | null;
  metalC: number | null;
  airC: number | null;
  /** The user's own remark. */
  note: string | null;
}
