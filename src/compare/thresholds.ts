import table from "./thresholds.json" with { type: "json" };

export type ThresholdName = keyof typeof table;

/** The number that something is compared with; its unit, meaning and source stand beside it in thresholds.json. */
export function threshold(name: ThresholdName): number {
  return table[name].value;
}
