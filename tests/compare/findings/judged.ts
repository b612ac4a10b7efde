import { type CastingToCompare, type Comparison, compareCastings } from "../../../src/compare/index.ts";
import type { Finding, TapMeasurement } from "../../../src/measurement/index.ts";
import { casting } from "../support/sample-castings.ts";

/** One finding on two castings, with the clause that it gives to the result. */
export function judged(
  id: string,
  a: TapMeasurement,
  b: TapMeasurement,
  facts: Partial<CastingToCompare>[] = [{}, {}],
): Finding & { clause: string | null; comparison: Comparison } {
  const comparison = compareCastings([casting(a, facts[0]), casting(b, facts[1])]);
  const clause = comparison.result.clauses.find(({ finding }) => finding === id)?.text ?? null;
  return { ...comparison.findings.find((finding) => finding.id === id)!, clause, comparison };
}
