import { describe, expect, test } from "vitest";
import type { TapMeasurement } from "../../src/measurement/index.ts";
import { noisyRecording, soundBell } from "../support/sample-measurement.ts";
import { sampleStrike } from "../support/sample-parts.ts";
import { columnOf, findingOf } from "./support.ts";

const noise = (snrDb: number, over: Partial<TapMeasurement> = {}) =>
  findingOf("noise", soundBell({ strikes: [sampleStrike({ snrDb })], interference: [], ...over }));

describe("noise", () => {
  test("noise follows the range that ISO 3382-1 asks for T20 and T30", () => {
    // 35 dB for T20, 45 dB for T30 (from memory).
    expect([34.9, 35, 44.9, 45].map((snrDb) => noise(snrDb).outcome)).toEqual([
      ...["attention", "note", "note", "good"],
    ]);
  });

  test("noise judges by the best strike that was used", () => {
    const strikes = [sampleStrike({ snrDb: 20 }), sampleStrike({ snrDb: 60, leftOut: "invented" })];
    expect(findingOf("noise", soundBell({ strikes })).outcome).toBe("attention");
    expect(noise(0, { strikes: strikes.map((s) => ({ ...s, leftOut: null })) }).outcome).toBe("good");
    expect(noise(0, { strikes: strikes.map((s) => ({ ...s, leftOut: "invented" })) }).outcome).toBe("good");
  });

  test("noise that advises a harder strike warns of the sound level", () => {
    expect(noise(30).text).toMatch(
      /closer or strike a little harder\. Wear hearing protection.*85 dB\(A\) over 8 hours/,
    );
  });

  test("noise of a clipped recording does not advise a harder strike", () => {
    const { text } = findingOf("noise", noisyRecording());
    expect(text).not.toMatch(/harder|closer/);
    expect(text).toMatch(/a louder strike would not help, for the recorder is overloaded already\.$/);
  });

  test("noise lists the lines that are not the bell's and how to be rid of them", () => {
    const finding = findingOf("noise", soundBell());
    expect(finding.outcome).toBe("good");
    expect(finding.text).toContain("keep chargers, lamps and long cables away");
    expect(columnOf(finding, "what it is")).toEqual(["2nd harmonic of 50 Hz mains"]);
    expect(noise(60).evidence).toEqual([]);
  });
});
