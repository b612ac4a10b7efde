import { type Combination, type Interference, nearHz, type TapPartial } from "../measurement/index.ts";
import { type Mode, type ModeFit, totalAmplitude } from "../partials/index.ts";
import type { Grouped } from "./group-partials.ts";

/** By how many parents. */
const HARMONICS = ["", "", "second", "third", "fourth"];

/** What else was stable in the best strike: interference, and combinations with their parents' names. */
export function otherLines(
  fit: ModeFit,
  modes: Mode[],
  grouped: Grouped[],
  partials: TapPartial[],
): { interference: Interference[]; combinations: Combination[] } {
  const top = Math.max(...modes.map(totalAmplitude));
  const levelDb = (amplitude: number) => 20 * Math.log10(Math.max(amplitude, 1e-12) / top);
  const modeOf = (index: number) => modes.findIndex((m) => m.amplitude === fit.modes[index].amplitude);
  const partialOf = (mode: number) => grouped.findIndex((g) => g.members.includes(mode));
  // A member of a split partial is named by its own frequency, of which the combination is made.
  const nameOf = (mode: number) => {
    const name = partials[partialOf(mode)].name;
    return name ?? `the line near ${nearHz(modes[mode].frequencyHz)} Hz`;
  };
  const combinations: Combination[] = [];
  for (const c of fit.combinations) {
    const parents = c.of.map(modeOf).sort((a, b) => a - b);
    if (parents[0] < 0) continue;
    const of = parents.map(partialOf);
    const text = parents.every((p) => p === parents[0])
      ? `${HARMONICS[parents.length]} harmonic of ${nameOf(parents[0])}`
      : `sum of ${parents.slice(0, -1).map(nameOf).join(", ")} and ${nameOf(parents.at(-1)!)}`;
    combinations.push({ frequencyHz: c.frequencyHz, levelDb: levelDb(c.amplitude), of, text });
  }
  const interference = fit.steady.map((s) => ({
    frequencyHz: s.frequencyHz,
    levelDb: levelDb(s.amplitude),
    kind: s.kind,
    text: s.text,
  }));
  return { interference, combinations };
}
