import { describe, expect, test } from "vitest";
import { soundBell } from "../support/sample-measurement.ts";
import { sampleStrike } from "../support/sample-parts.ts";
import { findingOf } from "./support.ts";

const held = sampleStrike({ endedBy: "hand damping", endS: 1.5 });
const free = sampleStrike();

describe("hand-damping", () => {
  test("hand-damping of rings that end by themselves is good", () => {
    expect(findingOf("hand-damping", soundBell({ strikes: [free, free] })).outcome).toBe("good");
  });

  test("hand-damping of a bell that had rung out is good: a hand stops only what sounds", () => {
    // The slowest partial of the sound bell falls by 60 dB in 44 s.
    const late = { ...held, usedS: 60, snrDb: 60 };
    expect(findingOf("hand-damping", soundBell({ strikes: [late] })).outcome).toBe("good");
    expect(findingOf("hand-damping", soundBell({ strikes: [{ ...late, usedS: 10 }] })).outcome).toBe(
      "attention",
    );
  });

  test("hand-damping of every strike asks for attention, of some is a note", () => {
    const all = findingOf("hand-damping", soundBell({ strikes: [held] }));
    expect(all.outcome).toBe("attention");
    expect(all.text).toMatch(/^The ring of the strike breaks off.*Let the bell ring out by itself/);
    const some = findingOf("hand-damping", soundBell({ strikes: [free, held, free] }));
    expect(some.outcome).toBe("note");
    expect(some.text).toContain("1 of 3 strikes");
    expect(some.evidence).toMatchObject([{ label: "Strike 2: free until the hand", toS: 1.5 }]);
  });
});
