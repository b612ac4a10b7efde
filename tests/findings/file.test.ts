import { describe, expect, test } from "vitest";
import { noisyRecording, soundBell } from "../support/sample-measurement.ts";
import { columnOf, findingOf } from "./support.ts";

describe("file", () => {
  test("file without a complaint is good", () => expect(findingOf("file", soundBell()).outcome).toBe("good"));

  test("file of which a part is missing asks for attention", () => {
    // As the readers of WAV and FLAC say it.
    for (const warning of [
      "The WAV file is cut short: its header promises 4.0 s and 1.2 s are there.",
      "The FLAC file is damaged or cut short after 1.2 s of 4.0 s; only what comes before is used.",
    ]) {
      const bell = soundBell();
      bell.recordings[0]!.warnings = [warning];
      expect(findingOf("file", bell)).toMatchObject({ outcome: "attention", title: "The file is not whole" });
    }
  });

  test("file that had to be forgiven lists what, and says what to do", () => {
    const finding = findingOf("file", noisyRecording());
    expect(finding.outcome).toBe("note");
    expect(finding.text).toContain("Copy it from the recorder again");
    expect(columnOf(finding, "what")).toEqual(noisyRecording().recording.warnings);
  });
});
