import data from "./data/cautions.json" with { type: "json" };

/** One caution for work with molten metal, and where it comes from. */
export interface Caution {
  id: string;
  text: string;
  source: string;
}

/** The usual cautions for molten metal, local codes and licensed practice first. */
export const MOLTEN_METAL_CAUTIONS: readonly Caution[] = data.cautions;

/** What the cautions rest on, in one sentence. */
export const CAUTIONS_SOURCE =
  "Limits of fume: NIOSH RTECS and Pocket Guide; lead and zinc in foundries: Tossavainen 1976; all else is common practice, no source.";
