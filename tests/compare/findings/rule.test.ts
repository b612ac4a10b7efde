import { describe, expect, test } from "vitest";
import { type CompareRule, type Judged, runRules } from "../../../src/compare/findings/rule.ts";

const good: CompareRule = {
  id: "good",
  subject: "Good",
  assess: () => ({
    outcome: "good",
    title: "Good",
    text: "All is well.",
    evidence: [],
    clause: "all is well",
  }),
};
const broken: CompareRule = {
  id: "broken",
  subject: "Broken",
  assess() {
    throw new TypeError("no such field");
  },
};

describe("runRules(rules, judged)", () => {
  test("runRules([], judged) finds nothing", () => {
    expect(runRules([], {} as Judged)).toEqual({ findings: [], clauses: [] });
  });

  test("runRules(rules, judged) lets the others stand where one fails, and says why", () => {
    const { findings, clauses } = runRules([broken, good], {} as Judged);
    expect(findings.map(({ id, outcome }) => [id, outcome])).toEqual([
      ["broken", "not-measurable"],
      ["good", "good"],
    ]);
    expect(findings[0].text).toContain("no such field");
    expect(clauses).toEqual([{ text: "all is well", finding: "good" }]);
    expect(findings[1]).not.toHaveProperty("clause");
  });
});
