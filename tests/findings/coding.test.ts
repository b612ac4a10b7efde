import { describe, expect, test } from "vitest";
import { noisyRecording, soundBell } from "../support/sample-measurement.ts";
import { sampleRecording } from "../support/sample-parts.ts";
import { columnOf, findingOf } from "./support.ts";

describe("coding", () => {
  test("coding without loss is good", () => expect(findingOf("coding", soundBell()).outcome).toBe("good"));

  test("coding with loss says what is lost and what to record instead", () => {
    const finding = findingOf("coding", noisyRecording());
    expect(finding.outcome).toBe("note");
    expect(finding.text).toMatch(/^Lossy coding \(opus\) removes weak partials.*WAV or FLAC/);
  });

  test("coding names each lossy format once and lists every recording", () => {
    const mp3 = sampleRecording({ file: "b.mp3", format: "mp3", lossy: true, bits: null });
    const finding = findingOf("coding", soundBell({ recordings: [sampleRecording(), mp3, mp3] }));
    expect(finding.text).toContain("(mp3)");
    expect(columnOf(finding, "format")).toEqual(["wav, without loss", "mp3, with loss", "mp3, with loss"]);
  });
});
