import { type Estimate, showEstimate, type TapPartial } from "../measurement/index.ts";
import { defineFinding, notMeasurable } from "./finding.ts";
import { SD_TO_CI95 } from "./robust.ts";
import { threshold } from "./thresholds.ts";
import { cell, countWords, partialCell, partialWords, scaled } from "./words.ts";

const CENTS_PER_RELATIVE = 1200 / Math.LN2;

/** A standard deviation from n values is itself known to 1 part in sqrt(2 (n - 1)), for normal scatter. */
function spreadEstimate(sd: number, strikes: number): Estimate {
  return { value: sd, ci95: (SD_TO_CI95 * sd) / Math.sqrt(2 * (strikes - 1)) };
}

/** Whether the strikes agree with each other. */
export const strikeSpread = defineFinding({
  id: "strike-spread",
  subject: "Agreement of the strikes",
  needs: ["partials", "strikes"],
  uses: [],
  assess({ partials, strikes }) {
    const used = strikes.filter((s) => s.leftOut === null).length;
    const rows = partials.flatMap((partial: TapPartial) =>
      partial.strikeSpreadHz === null
        ? []
        : [
            {
              partial,
              cents: spreadEstimate(
                (CENTS_PER_RELATIVE * partial.strikeSpreadHz) / partial.frequencyHz.value,
                used,
              ),
              decay:
                partial.strikeSpreadS === null
                  ? null
                  : spreadEstimate(partial.strikeSpreadS / partial.decayTimeS.value, used),
            },
          ],
    );
    const widest = [...rows].sort((a, b) => b.cents.value - a.cents.value)[0];
    if (used < 2 || widest === undefined) {
      return notMeasurable(
        "Agreement of the strikes",
        "One strike cannot show how far strikes differ. Record three, each let to ring out, at three places 25° apart round the rim.",
      );
    }
    const apart = widest.cents.value > threshold("pitchStep");
    const uneven = rows.filter((r) => (r.decay?.value ?? 0) > threshold("decaySpread"));
    const frequency = `Over ${countWords(used, "strike")} the frequencies scatter by ${showEstimate(widest.cents, "cents")} at most, in ${partialWords(widest.partial)}.`;
    const decay =
      uneven.length === 0
        ? ""
        : ` The decay time of ${countWords(uneven.length, "partial")} scatters by more than ${100 * threshold("decaySpread")} %.`;
    const advice =
      apart || uneven.length > 0
        ? " Strikes at different places wake the two members of a split partial differently, and a bell that warms, swings or is held shifts: hang it freely, keep its temperature, and compare strikes at one marked place."
        : "";
    return {
      outcome: apart ? "attention" : uneven.length > 0 ? "note" : "good",
      title: apart || uneven.length > 0 ? "The strikes differ" : "The strikes agree",
      text: frequency + decay + advice,
      evidence: [
        {
          kind: "table",
          label: "Standard deviation between strikes",
          columns: ["partial", "frequency, Hz", "scatter of frequency, cents", "scatter of decay time, %"],
          rows: rows.map((r) => [
            partialCell(r.partial),
            cell(r.partial.frequencyHz, "frequency"),
            cell(r.cents, "cents"),
            r.decay === null ? null : cell(scaled(r.decay, 100), "percent"),
          ]),
        },
      ],
    };
  },
});
