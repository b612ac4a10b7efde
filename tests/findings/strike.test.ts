import { describe, expect, test } from "vitest";
import type { StrikeInfo } from "../../src/measurement/index.ts";
import { emptyMeasurement, soundBell } from "../support/sample-measurement.ts";
import { sampleStrike } from "../support/sample-parts.ts";
import { back, bell, oneStrike } from "./moving-gain.ts";
import { findingOf } from "./support.ts";

const strike = (...strikes: StrikeInfo[]) => findingOf("strike", soundBell({ strikes }));
const clean = sampleStrike();
const bounced = sampleStrike({ contactsS: [0.812, 0.829], fitStartS: 0.869 });
const rattling = sampleStrike({ rattle: true });

describe("strike", () => {
  test("strike without strikes is not measurable", () => {
    expect(findingOf("strike", emptyMeasurement()).outcome).toBe("not-measurable");
  });

  test("strike of clean strikes is good", () => {
    expect(strike(clean).text).toBe("1 strike, each with one contact and no rattle.");
    expect(strike(clean, clean).outcome).toBe("good");
  });

  test("strike with a bounce says so, points at it, and says what to do", () => {
    const finding = strike(bounced);
    expect(finding.outcome).toBe("attention");
    expect(finding.text).toMatch(
      /^The rod touched more than once in the strike, or a wall close by answered it\. Hold the rod loosely/,
    );
    expect(finding.evidence).toEqual([
      { kind: "time", label: "Strike 1: 2 contacts", fromS: 0.812, toS: 0.869, recording: 0 },
    ]);
  });

  test("strike beside a clean one is a note, unless the clean one was left out", () => {
    expect(strike(bounced, clean).outcome).toBe("note");
    expect(strike(bounced, { ...clean, leftOut: "invented" }).outcome).toBe("attention");
  });

  test("strike of a blow that the file may have smeared is a note that says so, but a rattle stays one", () => {
    const [recording] = soundBell().recordings;
    for (const over of [{ lossy: true }, { sampleRateHz: 8000 }]) {
      const smeared = { recordings: [{ ...recording!, ...over }] };
      const finding = findingOf("strike", soundBell({ ...smeared, strikes: [bounced] }));
      expect(finding.outcome).toBe("note");
      expect(finding.title).toBe("The rod bounced, or the file smears the blow");
      expect(findingOf("strike", soundBell({ ...smeared, strikes: [rattling] })).outcome).toBe("attention");
    }
  });

  test("strike of a second contact beside a gain that moves is a note that says so, but a rattle stays one", () => {
    const told = (over: Partial<StrikeInfo>) =>
      findingOf("strike", { ...bell(back), strikes: [oneStrike(soundBell(), over)] });
    const finding = told({ contactsS: [1, 1.01], fitStartS: 1.05 });
    expect(finding.outcome).toBe("note");
    expect(finding.title).toBe("The rod bounced, or the gain set in");
    expect(finding.text).toContain("turn it off first");
    expect(told({ rattle: true }).title).toBe("Something rattles");
    expect(told({ rattle: true }).outcome).toBe("attention");
  });

  test("strike with a rattle names the likely causes, a crack among them", () => {
    const finding = strike(clean, rattling, rattling);
    expect(finding.title).toBe("Something rattles");
    expect(finding.text).toMatch(
      /^Something rattles in 2 of 3 strikes\..*the two faces of a crack\..*A voice/,
    );
    expect(finding.evidence).toHaveLength(2);
  });
});
