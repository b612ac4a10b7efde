import { describe, expect, test } from "vitest";
import type { Interference } from "../../src/measurement/index.ts";
import { soundBell } from "../support/sample-measurement.ts";
import { findingOf } from "./support.ts";

const tones = (
  baseHz: number,
  orders: number[],
  kind: Interference["kind"] = "steady tone",
): Interference[] =>
  orders.map((order) => ({ frequencyHz: order * baseHz, levelDb: -50, kind, text: "Invented tone." }));

const clock = (interference: Interference[]) => findingOf("clock", soundBell({ interference }));

describe("clock", () => {
  test("clock without tones takes the rate as it is, and says that it could not know", () => {
    expect(clock([]).outcome).toBe("good");
    expect(clock([]).text).toContain("Without hum a wrong rate cannot be seen");
  });

  test("clock of a true mains comb, 0.2 Hz off, is good, and so is a comb of too few tones", () => {
    expect(clock(tones(50.2, [1, 2, 3, 5], "mains")).outcome).toBe("good");
    expect(clock(tones((50 * 44.1) / 48, [1, 2])).outcome).toBe("good");
  });

  test("clock of a low sample rate says where the file ends, and that converting it brings nothing back", () => {
    const recordings = soundBell().recordings.map((r) => ({ ...r, sampleRateHz: 8000 }));
    const finding = findingOf("clock", soundBell({ recordings }));
    expect(finding.outcome).toBe("note");
    expect(finding.title).toBe("Nothing above 4 kHz is in the file");
    expect(finding.text).toContain("converting this file brings nothing back");
    const wideband = recordings.map((r) => ({ ...r, sampleRateHz: 16000 }));
    expect(findingOf("clock", soundBell({ recordings: wideband })).outcome).toBe("good");
  });

  // 48,000 samples a second played at 44,100: every frequency times 44.1/48, by arithmetic.
  test.each([
    [50, 48 / 44.1, "low"],
    [60, 48 / 44.1, "low"],
    [50, 44.1 / 48, "high"],
  ])(
    "clock of %d Hz mains in samples taken at %d of the labelled rate says that pitches are too %s",
    (mains, ratio, word) => {
      const finding = clock(tones(mains / ratio, [1, 2, 3]));
      expect(finding.outcome).toBe("attention");
      expect(finding.text).toContain(`every pitch is 147 cents too ${word}`);
      expect(finding.text).toContain(`${mains} Hz mains hum`);
    },
  );
});
