import { type BandLevels, framesIn } from "./band-levels.ts";
import type { QuietStretch, Strike } from "./strike.ts";

/** A stretch this long before the strike is taken; else the longest after a ring; else what there is before the strike. */
const LONG_ENOUGH_S = 0.1;
const SHORTEST_S = 0.05;
/** Left free before a contact. */
const BEFORE_CONTACT_S = 0.01;
/** A damped ring takes this long to vanish. */
const AFTER_DAMPING_S = 0.5;

/** The stretch for the noise spectrum: background before the first strike, or what follows a ring that met the noise. */
export function quietStretch(
  levels: BandLevels,
  strikes: Strike[],
  firstSample: number,
  samples: number,
): QuietStretch | null {
  const rate = levels.sampleRateHz;
  const before: QuietStretch = {
    startSample: firstSample,
    endSample: strikes[0].onsetSample - Math.round(BEFORE_CONTACT_S * rate),
    where: "before the strike",
  };
  const usable = (quiet: QuietStretch, shortestS: number) =>
    quiet.endSample - quiet.startSample >= shortestS * rate && !isSilent(levels, quiet);
  if (usable(before, LONG_ENOUGH_S)) return before;
  let longest: QuietStretch | null = null;
  for (let i = 0; i < strikes.length; i++) {
    const { endSample, endedBy } = strikes[i];
    if (endedBy !== "noise floor" && endedBy !== "hand damping") continue;
    const next =
      i + 1 < strikes.length ? strikes[i + 1].onsetSample - Math.round(BEFORE_CONTACT_S * rate) : samples;
    const start = endSample + (endedBy === "hand damping" ? Math.round(AFTER_DAMPING_S * rate) : 0);
    const quiet: QuietStretch = { startSample: start, endSample: next, where: "after the ring" };
    const longer = longest === null || next - start > longest.endSample - longest.startSample;
    if (longer && usable(quiet, LONG_ENOUGH_S)) longest = quiet;
  }
  if (longest !== null) return longest;
  return usable(before, SHORTEST_S) ? before : null;
}

/** Digital silence is not the noise of the ring. */
function isSilent(levels: BandLevels, quiet: QuietStretch): boolean {
  const { hopSamples, windowSamples, silence } = levels;
  const from = Math.ceil(quiet.startSample / hopSamples);
  const to = Math.floor((quiet.endSample - windowSamples) / hopSamples);
  let sounding = 0;
  for (let k = from; k < to; k++) {
    if (levels.rows(k, k + 1).some((level) => level > silence)) sounding++;
  }
  return sounding < Math.max(framesIn(levels, SHORTEST_S) / 2, (to - from) / 2);
}
