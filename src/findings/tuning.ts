import type { Estimate, TapPartial } from "../measurement/index.ts";
import { defineFinding, notMeasurable } from "./finding.ts";
import { isMixture } from "./signs/two-bells.ts";
import { threshold } from "./thresholds.ts";
import { cell, countWords, offsetWords, partialCell, partialWords, sureName } from "./words.ts";

type Placed = TapPartial & { deviationCents: Estimate };

/** Of the placed partials those that are surely named and can be tuned one by one, the reference left out. */
export function tunablePartials(partials: readonly TapPartial[]): Placed[] {
  return comparedPartials(partials).filter((p) => (p.nodalMeridians ?? 0) < threshold("rimMeridians"));
}

function comparedPartials(partials: readonly TapPartial[]): Placed[] {
  // The reference partial lies at its ideal by definition: an interval of exactly nothing.
  return partials.filter(isPlaced).filter((p) => sureName(p) !== null && p.deviationCents.ci95 > 0);
}

const isPlaced = (p: TapPartial): p is Placed => p.deviationCents !== null;

/** How far the named partials lie from the ideal ratios of the chosen profile. */
export const tuning = defineFinding({
  id: "tuning",
  subject: "Tuning of the partials",
  needs: ["partials"],
  uses: ["options", "expectedPartials"],
  assess({ partials, options, expectedPartials }) {
    if (isMixture(partials, expectedPartials ?? [])) {
      return notMeasurable(
        "Tuning of the partials",
        "Two bells seem to sound, and which partial is whose cannot be told.",
      );
    }
    const placed = partials.filter(isPlaced);
    const compared = comparedPartials(partials);
    const tunable = tunablePartials(partials);
    const furthest = [...tunable].sort(
      (a, b) => Math.abs(b.deviationCents.value) - Math.abs(a.deviationCents.value),
    )[0];
    if (furthest === undefined) {
      return notMeasurable(
        "Tuning of the partials",
        "Fewer than two partials could be named with confidence, so no interval between them can be compared with the profile. Name one yourself with --pin, or choose another profile.",
      );
    }
    const within = threshold("tunedWithin");
    const tuned = tunable.every((p) => Math.abs(p.deviationCents.value) + p.deviationCents.ci95 <= within);
    const place = offsetWords(furthest.deviationCents);
    const profile = options ? ` of the profile "${options.profile}"` : "";
    const meridians = threshold("rimMeridians");
    const rim =
      tunable.length === compared.length
        ? ""
        : ` Partials with ${meridians} nodal meridians or more follow the rim together and cannot be tuned one by one; they are only listed.`;
    const others =
      tunable.length === compared.length
        ? `${countWords(tunable.length, "named partial")} besides the reference`
        : `${countWords(tunable.length, "partial")} that ${tunable.length === 1 ? "is" : "are"} tuned one by one`;
    return {
      outcome: tuned ? "good" : "note",
      title: tuned ? "The partials are in tune" : "The partials are not at their ideal ratios",
      text: tuned
        ? `Each of ${others} lies within ${within} cents of the ideal ratios${profile}; the furthest is ${partialWords(furthest)}, ${place}.${rim}`
        : `Of ${others} the furthest from the ideal ratios${profile} is ${partialWords(furthest)}, ${place}.${rim} Make sure of the names first (--pin holds one in place): a wrong name gives a wrong deviation.`,
      evidence: [
        {
          kind: "table",
          label: "Deviation from the ideal ratios",
          columns: ["partial", "frequency, Hz", "ratio", "ideal ratio", "deviation, cents"],
          rows: placed.map((p) => [
            partialCell(p),
            cell(p.frequencyHz, "frequency"),
            cell(p.ratio, "interval"),
            p.idealRatio,
            cell(p.deviationCents, "cents"),
          ]),
        },
        { kind: "chart", label: "Deviation in cents", chart: "deviation", partial: null },
      ],
    };
  },
});
