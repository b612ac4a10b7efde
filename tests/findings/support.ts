import { runFindings } from "../../src/findings/index.ts";
import type { Finding, TapMeasurement } from "../../src/measurement/index.ts";

/** One finding on a measurement. */
export function findingOf(id: string, measurement: TapMeasurement): Finding {
  const found = runFindings(measurement).find((finding) => finding.id === id);
  if (found === undefined) throw new RangeError(`no finding has the id ${id}`);
  return found;
}

/** A column of the first table among the evidence. */
export function columnOf(finding: Finding, head: string): (string | number | null)[] {
  const table = finding.evidence.find((e) => e.kind === "table");
  const at = table?.columns.indexOf(head) ?? -1;
  if (table === undefined || at < 0) throw new RangeError(`${finding.id} has no column ${head}`);
  return table.rows.map((row) => row[at] ?? null);
}
