import type { Estimate, TapMeasurement } from "../measurement/index.ts";
import { InvalidPlanError } from "./error.ts";

/** What a plan goes by when no partial is named. */
export const STRIKE_NOTE = "strike note";

/**
 * Frequency of the strike note, or of the partial that the user names.
 *
 * @throws InvalidPlanError where the measurement holds none, or two bells of which nobody knows whose it is.
 */
export function referenceHz(measurement: TapMeasurement, name: string): Estimate {
  const names = [...new Set(measurement.partials.flatMap((partial) => partial.name ?? []))];
  const choice =
    names.length > 0
      ? `; go by one of its partials: ${names.join(", ")}`
      : "; measure a clearer recording, or name a partial when measuring, as in tap --pin nominal=1234";
  if (name === STRIKE_NOTE) {
    if (measurement.findings.some(({ id, outcome }) => id === "second-bell" && outcome === "attention")) {
      throw new InvalidPlanError(
        "two bells seem to sound in the measurement, so it has no strike note to plan by; strike one bell only and record it again",
      );
    }
    if (measurement.strikeNote) return measurement.strikeNote.frequencyHz;
    throw new InvalidPlanError(`the measurement has no strike note${choice}`);
  }
  const partial = measurement.partials.find((candidate) => candidate.name === name);
  if (partial) return partial.frequencyHz;
  throw new InvalidPlanError(`the measurement has no partial called ${name}${choice}`);
}
