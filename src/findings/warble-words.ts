import {
  type Doublet,
  type Estimate,
  readable,
  showEstimate,
  type TapPartial,
} from "../measurement/index.ts";
import type { PatternWord } from "./signs/split.ts";
import { threshold } from "./thresholds.ts";

/** Seconds from one beat to the next, as surely as the split is shown; null while the split's interval reaches near zero. */
export function beatPeriod(splitHz: Estimate): Estimate | null {
  const { value, ci95 } = readable(splitHz, "frequency");
  // 1/x is linear enough for an interval while the interval is below a third of x.
  if (value <= 0 || ci95 > value / 3) return null;
  return { value: 1 / value, ci95: ci95 / value ** 2 };
}

/** Slow beats are told by their period, fast ones by their number a second. */
export function beatWords(splitHz: Estimate): string {
  const period = beatPeriod(splitHz);
  return period === null || splitHz.value >= 1
    ? `${showEstimate(splitHz, "beats a second")}`
    : `one beat every ${showEstimate(period, "s")}`;
}

/** How deep the beat is, in words; the depth has no interval of its own. */
export function depthWords(doublet: Doublet): string {
  const depthDb = doublet.beatDepthDb;
  if (depthDb < threshold("beatLeastDepth")) return "hardly heard";
  if (depthDb < threshold("beatClearDepth")) return "slight";
  return depthDb < threshold("beatDeepDepth") ? "clear" : "deep";
}

/** Which kind of sound the pair makes. */
export function heardAs(partial: TapPartial, doublet: Doublet): "warble" | "roughness" | "uneven decay" {
  if (doublet.splitHz.value > threshold("beatFastest")) return "roughness";
  return doublet.splitHz.value * partial.decayTimeS.value < 1 ? "uneven decay" : "warble";
}

/** Level of a partial, dB re the strongest at the strike, so long after it. */
const levelAt = ({ levelDb, decayTimeS }: TapPartial, timeS: number): number =>
  levelDb.value - (60 * timeS) / decayTimeS.value;

/** Loudness doubles with 10 dB (Stevens, the sone, from memory). */
const loudness = (levelDb: number): number => 2 ** (levelDb / 10);

/**
 * The depth, in dB, of a beat of the whole sound at the rate that the ear follows best which would be as plain as this one.
 *
 * Fluctuation strength grows with the depth over all critical bands and with 2 / (f / 4 Hz + 4 Hz / f) (Zwicker & Fastl,
 * Psychoacoustics, from memory), so a partial counts by its share of the loudness. The share is taken when its first beat
 * is over: what dies before has not beaten, and what is left alone by then is heard alone.
 */
export function plainnessDb(partial: TapPartial, doublet: Doublet, all: readonly TapPartial[]): number {
  const rateHz = doublet.splitHz.value;
  const best = threshold("beatBestRate");
  const weight = 2 / (rateHz / best + best / rateHz);
  const timeS = 1 / rateHz;
  const whole = all.reduce((sum, other) => sum + loudness(levelAt(other, timeS)), 0);
  const share = loudness(levelAt(partial, timeS)) / whole;
  return share * weight * Math.min(doublet.beatDepthDb, threshold("beatFullDepth"));
}

/** Whether a listener will ask what beats: surely a split, and plain in the whole sound while that is still loud. */
export function isAudibleWarble(partial: TapPartial, doublet: Doublet, all: readonly TapPartial[]): boolean {
  return (
    doublet.splitHz.value > doublet.splitHz.ci95 &&
    heardAs(partial, doublet) === "warble" &&
    levelAt(partial, 1 / doublet.splitHz.value) >= threshold("prominentLevel") &&
    plainnessDb(partial, doublet, all) >= threshold("beatClearDepth")
  );
}

/** The cause as far as the pattern's symmetry tells it. */
export function causeWords(word: PatternWord, ridges: number | null): string {
  switch (word) {
    case "it can":
      return `the pattern's ${ridges}-fold symmetry can cause it, and so can the casting or the mounting`;
    case "it cannot":
      return `the pattern's ${ridges}-fold symmetry cannot cause it: it is the casting's or the mounting's`;
    case "meridians unknown":
      return "its number of nodal meridians is not known, so the pattern's part in it cannot be told";
    case "ridges not given":
      return "give the pattern's symmetry with --ridges to learn whether the pattern can cause it";
  }
}
