import { JUDGEMENT } from "../judgement.ts";
import type { NextCut, Projection, Sensitivity, SeriesPartial } from "../result.ts";
import { chooseCut, type Place } from "./choose-cut.ts";
import { type CutBell, type PlaceHistory, placesOf } from "./cuts.ts";
import { mixtureEstimate } from "./mixture.ts";
import type { Movement } from "./outcome.ts";
import { projectAmount } from "./project.ts";
import { fitSlope } from "./slope.ts";

export interface BellTuning {
  sensitivity: Sensitivity[];
  projections: Projection[];
  nextCut: NextCut | null;
  nextCutReason: string | null;
}

const nothing = (nextCutReason: string): BellTuning => ({
  sensitivity: [],
  projections: [],
  nextCut: null,
  nextCutReason,
});

/** What the cuts so far teach of one bell of the set, and what to take off next. */
export function tuneBell(bell: CutBell, bells: readonly CutBell[]): BellTuning {
  const last = bell.passes.findLast(({ measured }) => measured);
  if (last === undefined) return nothing("no pass of this bell could be measured");
  if (last !== bell.passes.at(-1)) return nothing("its last pass could not be measured; record it again");
  const histories = placesOf(bell, bells);
  if (histories.length === 0) {
    return nothing(
      "nothing is known of cutting yet: no two measured passes of similar bells say what was removed and where",
    );
  }
  const sensitivity: Sensitivity[] = [];
  const projections: Projection[] = [];
  const places: Place[] = [];
  for (const history of histories) {
    const known = movementsAt(history, bell.name, last.partials);
    if (known.length === 0) continue;
    places.push({ ...history, movements: known.map(({ movement }) => movement) });
    for (const { movement, cuts, cutBells } of known) {
      const { at, unit, largest } = history;
      const slope = mixtureEstimate(movement.slope);
      const { amount, reason } = projectAmount(movement, largest);
      const { partial } = movement;
      sensitivity.push({
        partial,
        at,
        centsPerG: unit === "g" ? slope : null,
        centsPerMm: unit === "mm" ? slope : null,
        cuts,
        bells: cutBells,
      });
      projections.push({
        partial,
        at,
        removeG: unit === "g" ? amount : null,
        removeMm: unit === "mm" ? amount : null,
        reason,
      });
    }
  }
  if (places.length === 0) {
    const most = Math.max(
      ...histories.flatMap(({ cuts }) => [...cuts.values()].map((list) => list.length)),
      0,
    );
    return nothing(
      `too few cuts at one place on this and similar bells: ${most} of the ${JUDGEMENT.leastCuts} that a sensitivity needs`,
    );
  }
  const { cut, reason } = chooseCut(places);
  return { sensitivity, projections, nextCut: cut, nextCutReason: reason };
}

/** The partials of the bell with cuts enough at a place. */
function movementsAt(
  { cuts }: PlaceHistory,
  bell: string,
  partials: readonly SeriesPartial[],
): { movement: Movement; cuts: number; cutBells: number }[] {
  return partials.flatMap(({ name, deviationCents }) => {
    const list = cuts.get(name) ?? [];
    if (list.length < JUDGEMENT.leastCuts) return [];
    const movement = { partial: name, deviationCents, slope: fitSlope(list, bell) };
    return [{ movement, cuts: list.length, cutBells: new Set(list.map((cut) => cut.bell)).size }];
  });
}
