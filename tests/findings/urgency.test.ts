import { describe, expect, test } from "vitest";
import { askingFindings } from "../../src/findings/index.ts";
import { REGISTER } from "../../src/findings/register.ts";
import type { Finding, FindingOutcome } from "../../src/measurement/index.ts";

const finding = (id: string, outcome: FindingOutcome): Finding => {
  return { id, outcome, title: id, text: "", evidence: [] };
};
const idsOf = (findings: Finding[]) => askingFindings(findings).map(({ id }) => id);

describe("askingFindings", () => {
  test("askingFindings of none, and of what is good, noted or not measurable, are none", () => {
    const quiet = (["good", "note", "not-measurable"] as const).map((outcome) => finding("clock", outcome));
    expect([idsOf([]), idsOf(quiet)]).toEqual([[], []]);
  });

  test("askingFindings puts what makes the rest doubtful before the bell's own faults, each in the register's order", () => {
    const all = REGISTER.map(({ id }) => finding(id, "attention"));
    const ids = idsOf(all);
    expect(ids.slice(0, 5)).toEqual(["second-bell", "free-decay", "gain-control", "clock", "soundness"]);
    expect([...ids].sort()).toEqual(REGISTER.map(({ id }) => id).sort());
    // A warble of a bell whose recording is in order stays where the register has it.
    expect(idsOf([finding("soundness", "attention"), finding("warble", "attention")])).toEqual([
      ...["soundness", "warble"],
    ]);
  });
});
