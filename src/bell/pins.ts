import { cents } from "./estimate.ts";
import { type Profile, partialByName } from "./profile.ts";

/** A pin takes the nearest partial within this much of it: half a semitone, less than any two partials differ. */
export const PIN_WINDOW_CENTS = 50;

export interface PlacedPins {
  /** Profile index for each measured partial, or -1. */
  pinned: Int32Array;
  /** One sentence for each pin that could not be placed. */
  warnings: string[];
}

/**
 * Places the user's pins on the measured partials.
 *
 * A pin that names no partial of the profile, is not a frequency, has no measured partial within 50 cents, or
 * contradicts another pin (the same partial, or not in the profile's order) is left out with a warning.
 *
 * @param frequencyHz measured, ascending
 */
export function placePins(
  pins: Record<string, number>,
  frequencyHz: Float64Array,
  profile: Profile,
): PlacedPins {
  const pinned = new Int32Array(frequencyHz.length).fill(-1);
  const warnings: string[] = [];
  for (const [name, hertz] of Object.entries(pins)) {
    const warn = (why: string) => warnings.push(`pin ${name}=${hertz} was left out: ${why}`);
    const wanted = partialByName(profile.partials, name);
    if (wanted < 0) {
      const names = profile.partials.map((partial) => partial.name).join(", ");
      warn(`profile "${profile.id}" has no partial of that name, it has ${names}.`);
      continue;
    }
    if (!(Number.isFinite(hertz) && hertz > 0)) {
      warn("it is not a frequency, write a number of hertz above 0.");
      continue;
    }
    const nearest = nearestTo(hertz, frequencyHz);
    if (nearest < 0 || Math.abs(cents(frequencyHz[nearest], hertz)) > PIN_WINDOW_CENTS) {
      const seen = nearest < 0 ? "" : `, the nearest is at ${frequencyHz[nearest].toFixed(1)} Hz`;
      warn(`no partial was measured within ${PIN_WINDOW_CENTS} cents of it${seen}.`);
      continue;
    }
    const clash = pinned.findIndex((other, at) => other >= 0 && !inOrder(at, other, nearest, wanted));
    if (clash >= 0) {
      const rival = profile.partials[pinned[clash]].name;
      warn(`it contradicts the pin of ${rival}, partials keep the order of the profile.`);
      continue;
    }
    pinned[nearest] = wanted;
  }
  return { pinned, warnings };
}

function nearestTo(hertz: number, frequencyHz: Float64Array): number {
  let best = -1;
  for (let i = 0; i < frequencyHz.length; i++) {
    const nearer = best < 0 || Math.abs(frequencyHz[i] - hertz) < Math.abs(frequencyHz[best] - hertz);
    if (nearer) best = i;
  }
  return best;
}

/** Whether two pins are on two partials and in the same order on the bell as in the profile. */
function inOrder(at: number, name: number, otherAt: number, otherName: number): boolean {
  return (at < otherAt && name < otherName) || (at > otherAt && name > otherName);
}
