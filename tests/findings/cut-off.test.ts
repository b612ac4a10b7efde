import { describe, expect, test } from "vitest";
import { soundBell } from "../support/sample-measurement.ts";
import { sampleStrike } from "../support/sample-parts.ts";
import { findingOf } from "./support.ts";

const cut = sampleStrike({ endedBy: "cut off", endS: 1.5 });
const free = sampleStrike();

describe("cut-off", () => {
  test("cut-off of rings that end by themselves is good", () => {
    expect(findingOf("cut-off", soundBell({ strikes: [free] })).outcome).toBe("good");
  });

  test("cut-off of every used strike asks for attention, of some is a note, and what was left out does not count", () => {
    const left = { ...cut, leftOut: "rings free for too short a time" };
    expect(findingOf("cut-off", soundBell({ strikes: [free, left] })).outcome).toBe("good");
    const all = findingOf("cut-off", soundBell({ strikes: [cut, left] }));
    expect(all.outcome).toBe("attention");
    expect(all.text).toMatch(/^In the strike ring and noise vanish together.*noise gate/);
    const some = findingOf("cut-off", soundBell({ strikes: [free, cut] }));
    expect(some.outcome).toBe("note");
    expect(some.evidence).toMatchObject([{ label: "Strike 2: whole until it is turned down", toS: 1.5 }]);
  });
});
