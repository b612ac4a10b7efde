/** One step from a version of the schema to the next; takes and gives parsed JSON. */
export interface MigrationStep {
  from: string;
  to: string;
  migrate(old: Record<string, unknown>): Record<string, unknown>;
}

/** Every step ever needed, so that files of all versions stay readable. Version 1 is the first: none yet. */
export const TAP_MIGRATIONS: readonly MigrationStep[] = [];

/**
 * Takes parsed JSON step by step to the wanted version.
 *
 * @returns the JSON at that version, or null when no chain of steps leads there
 */
export function migrateTo(
  wanted: string,
  steps: readonly MigrationStep[],
  json: Record<string, unknown>,
): Record<string, unknown> | null {
  let at = json;
  // A chain can use each step once at most; more would be a circle.
  for (let taken = 0; at.schema !== wanted; taken++) {
    const step = steps.find((s) => s.from === at.schema);
    if (step === undefined || taken === steps.length) return null;
    at = { ...step.migrate(at), schema: step.to };
  }
  return at;
}
