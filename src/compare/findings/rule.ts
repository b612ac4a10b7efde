import type { Finding } from "../../measurement/index.ts";
import type { Casting, Clause, ComparisonOfTwo } from "../comparison.ts";

/** All that a rule may look at: numbers of the comparison, never the measurements behind it. */
export interface Judged extends Omit<ComparisonOfTwo, "a" | "b" | "result" | "findings"> {
  a: Casting;
  b: Casting;
  /** What each measurement says of itself that spoils its numbers: headings. */
  spoiled: { a: string[]; b: string[] };
}

export interface Assessment extends Pick<Finding, "outcome" | "title" | "text" | "evidence"> {
  /** What the result on top says of it, without a full stop; null where it says nothing. */
  clause: string | null;
}

export interface CompareRule {
  /** The file's name, a noun. */
  id: string;
  /** Heading where there is nothing to judge by. */
  subject: string;
  /** Pure. */
  assess(judged: Judged): Assessment;
}

/** What cannot be judged, and why. */
export function notMeasurable(title: string, text: string): Assessment {
  return { outcome: "not-measurable", title, text, evidence: [], clause: null };
}

/** A throw inside a rule ends as a plain reason; the other rules stand. */
function assessed(rule: CompareRule, judged: Judged): Assessment {
  try {
    return rule.assess(judged);
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    return notMeasurable(
      rule.subject,
      `Cannot be judged: this check failed (${reason}); the other findings stand. Keep the saved comparison to report the fault.`,
    );
  }
}

/** Runs rules in order; pure, never throws. */
export function runRules(
  rules: readonly CompareRule[],
  judged: Judged,
): { findings: Finding[]; clauses: Clause[] } {
  const all = rules.map((rule) => ({ id: rule.id, ...assessed(rule, judged) }));
  return {
    findings: all.map(({ clause: _, ...finding }) => finding),
    clauses: all.flatMap(({ id, clause }) => (clause === null ? [] : [{ text: clause, finding: id }])),
  };
}

/** How a change was held against chance. */
export function beyondWords({ pairs }: Judged): string {
  return pairs.some((pair) => pair.beyondStrikeSpread === null)
    ? "more than the intervals of the fits"
    : "more than strike-to-strike spread";
}
