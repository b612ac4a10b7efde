import data from "./data/cautions.json" with { type: "json" };

/** The usual cautions for taking metal off a bell, local codes and licensed practice first. */
export const CUTTING_CAUTIONS: readonly string[] = data.cautions;
