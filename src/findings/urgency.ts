import type { Finding } from "../measurement/index.ts";

/**
 * Where one of these asks for attention the numbers are not, or not only, those of one bell ringing freely at the rate that the
 * file says: what the other findings say stands or falls with it, so it is told before them.
 */
const SPOILS_THE_REST: ReadonlySet<string> = new Set(["second-bell", "free-decay", "gain-control", "clock"]);

/** The findings that ask for attention and on which the numbers stand or fall; what builds on the numbers tells them on. */
export function spoilingFindings(findings: readonly Finding[]): Finding[] {
  return findings.filter(({ id, outcome }) => outcome === "attention" && SPOILS_THE_REST.has(id));
}

/** The findings that ask for attention, in the order in which to see to them; otherwise as given. */
export function askingFindings(findings: readonly Finding[]): Finding[] {
  const asking = findings.filter(({ outcome }) => outcome === "attention");
  return [
    ...asking.filter(({ id }) => SPOILS_THE_REST.has(id)),
    ...asking.filter(({ id }) => !SPOILS_THE_REST.has(id)),
  ];
}
