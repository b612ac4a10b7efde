import { describe, expect, test } from "vitest";
import { noisyRecording, soundBell } from "../support/sample-measurement.ts";
import { columnOf, findingOf } from "./support.ts";

describe("file", () => {
  test("file without a complaint is good", () => expect(findingOf("file", soundBell()).outcome).toBe("good"));

  test("file that had to be forgiven lists what, and says what to do", () => {
    const finding = findingOf("file", noisyRecording());
    expect(finding.outcome).toBe("note");
    expect(finding.text).toContain("Copy it from the recorder again");
    expect(columnOf(finding, "what")).toEqual(noisyRecording().recording.warnings);
  });
});
