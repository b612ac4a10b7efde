import type { Combination, Interference, TapPartial } from "../measurement/index.ts";
import { type Mode, type ModeFit, totalAmplitude } from "../partials/index.ts";
import type { Grouped } from "./group-partials.ts";

/** What else was stable in the best strike: interference, and combinations with their parents' names. */
export function otherLines(
  fit: ModeFit,
  modes: Mode[],
  grouped: Grouped[],
  partials: TapPartial[],
): { interference: Interference[]; combinations: Combination[] } {
  const top = Math.max(...modes.map(totalAmplitude));
  const levelDb = (amplitude: number) => 20 * Math.log10(Math.max(amplitude, 1e-12) / top);
  const partialOf = (index: number) => {
    const mode = modes.findIndex((m) => m.amplitude === fit.modes[index].amplitude);
    return grouped.findIndex((g) => g.members.includes(mode));
  };
  const nameOf = (i: number) =>
    partials[i].name ?? `the partial at ${partials[i].frequencyHz.value.toFixed(1)} Hz`;
  const combinations: Combination[] = [];
  for (const c of fit.combinations) {
    const of = [partialOf(c.of[0]), partialOf(c.of[1])].sort((a, b) => a - b);
    if (of[0] < 0) continue;
    const text =
      of[0] === of[1]
        ? `second harmonic of ${nameOf(of[0])}`
        : `sum of ${nameOf(of[0])} and ${nameOf(of[1])}`;
    combinations.push({
      frequencyHz: c.frequencyHz,
      levelDb: levelDb(c.amplitude),
      of: [of[0], of[1]],
      text,
    });
  }
  const interference = fit.steady.map((s) => ({
    frequencyHz: s.frequencyHz,
    levelDb: levelDb(s.amplitude),
    kind: s.kind,
    text: s.text,
  }));
  return { interference, combinations };
}
