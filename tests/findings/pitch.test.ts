import { describe, expect, test } from "vitest";
import type { StrikeNote } from "../../src/measurement/index.ts";
import { soundBell } from "../support/sample-measurement.ts";
import { estimate } from "../support/sample-parts.ts";
import { columnOf, findingOf } from "./support.ts";

const NOTE = soundBell().strikeNote!;
const pitch = (over: Partial<StrikeNote> | null) =>
  findingOf("pitch", soundBell({ strikeNote: over === null ? null : { ...NOTE, ...over } }));

describe("pitch", () => {
  test("pitch without a strike note is not measurable", () => {
    expect(pitch(null).outcome).toBe("not-measurable");
  });

  test("pitch names the note, how far from it, the frequency and the method", () => {
    expect(pitch({ cents: estimate(-12.4, 0.6), candidates: [] }).text).toBe(
      "The strike note is clearly C5, 12.40 \u00b1 0.60 cents flat, at 523.200 \u00b1 0.060 Hz (virtual pitch of the upper partials)." +
        " The interval is that of the frequency: listeners may hear the note up to half a semitone elsewhere.",
    );
    expect(pitch({ cents: estimate(12.4, 0.6) }).text).toContain("12.40 \u00b1 0.60 cents sharp");
    expect(pitch({ cents: estimate(-0.2, 0.6) }).text).toContain("0.20 \u00b1 0.60 cents off");
  });

  test("pitch of an unsure note says so", () => {
    expect(pitch({ confidence: 0.5 }).text).toMatch(
      /is probably C5.*Ask more than one listener before tuning to it\.$/,
    );
  });

  test("pitch names the other pitches that weigh, and leaves out the light and the same", () => {
    const [first, second] = NOTE.candidates;
    const light = { ...second!, frequencyHz: estimate(262, 0.1), note: "C4", weight: 0.1 };
    // 20 cents from the chosen one: the same pitch by another way.
    const same = { ...second!, frequencyHz: estimate(529.3, 0.1), weight: 0.9 };
    const finding = pitch({ candidates: [first!, second!, light, same] });
    expect(finding.text).toMatch(
      /A listener may also name C6 \(1046\.8000 \u00b1 0\.0030 Hz, dominant spectral pitch\)\. The interval is/,
    );
    expect(columnOf(finding, "note")).toEqual(["C5", "C6", "C4", "C6"]);
  });

  test("pitch names one pitch once, however many ways lead to it", () => {
    const [first, second] = NOTE.candidates;
    const again = { ...second!, method: "virtual pitch of the upper partials" };
    const { text } = pitch({ candidates: [first!, second!, again] });
    expect(text.match(/C6/g)).toHaveLength(1);
  });
});
