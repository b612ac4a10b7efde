import { type Mode, totalAmplitude } from "../partials/index.ts";
import { twinsOf } from "./pool-strikes.ts";

/** A blow makes the partials louder than what is left of the blow before, by 6 dB at least: common practice, no source. */
const LOUDER = 2;
/** Fewer partials in common do not tell. */
const FEWEST = 3;

/**
 * Whether a sound that sets in is no strike: the partials only ring on from the strike before, as where a voice or a door
 * comes in. Holds the amplitudes at the later contact against those of the earlier one, let decay until then; their median
 * ratio decides.
 *
 * @param apartS from the earlier contact to the later, s
 */
export function ringsOn(earlier: Mode[], later: Mode[], apartS: number): boolean {
  const ratios = twinsOf(earlier, later).flatMap((twin, i) => {
    if (twin === null) return [];
    const left = totalAmplitude(earlier[i]) * Math.exp(-earlier[i].decayRatePerS * apartS);
    return [totalAmplitude(twin) / left];
  });
  ratios.sort((a, b) => a - b);
  return ratios.length >= FEWEST && ratios[ratios.length >> 1] < LOUDER;
}
