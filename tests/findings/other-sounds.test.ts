import { describe, expect, test } from "vitest";
import { soundBell } from "../support/sample-measurement.ts";
import { sampleStrike } from "../support/sample-parts.ts";
import { findingOf } from "./support.ts";

const free = sampleStrike();
const short = sampleStrike({ onsetS: 2, endS: 2.2, leftOut: "rings free for too short a time" });

describe("other-sounds", () => {
  test("other-sounds is good where every strike was used", () => {
    expect(findingOf("other-sounds", soundBell({ strikes: [free, free] })).outcome).toBe("good");
  });

  test("other-sounds does not take the beginning of the recording for a sound, unless it is loud", () => {
    const begins = { ...short, onsetS: 0.024, snrDb: 3 };
    expect(findingOf("other-sounds", soundBell({ strikes: [begins, free] })).outcome).toBe("good");
    const loud = { ...begins, snrDb: 20 };
    expect(findingOf("other-sounds", soundBell({ strikes: [loud, free] })).outcome).toBe("note");
  });

  test("other-sounds tells what was left out, when and why", () => {
    const finding = findingOf("other-sounds", soundBell({ strikes: [free, short, short] }));
    expect(finding.outcome).toBe("note");
    expect(finding.text).toMatch(/^2 sounds that set in suddenly were left out/);
    expect(finding.evidence).toMatchObject([
      { label: "Left out: rings free for too short a time", fromS: 2 },
      { fromS: 2, toS: 2.2 },
    ]);
  });

  test("other-sounds says which recording is another bell, and by how much", () => {
    const other = sampleStrike({
      recording: 1,
      leftOut: "another bell, 51 cents higher",
      otherBellCents: 51.3,
    });
    const bell = soundBell({ strikes: [free, other] });
    const recordings = [bell.recording, { ...bell.recording, file: "heat2-1.wav" }];
    expect(findingOf("other-sounds", { ...bell, recordings })).toMatchObject({
      outcome: "attention",
      title: "heat2-1.wav is another bell, 51 cents higher",
      evidence: [{ recording: 1 }],
    });
    const one = soundBell({ strikes: [free, { ...other, recording: 0, onsetS: 4.2, otherBellCents: -120 }] });
    expect(findingOf("other-sounds", one).title).toBe("The strike at 4.2 s is another bell, 120 cents lower");
  });

  test("other-sounds tells of a sound over the ring, with its time, where no strike was left out", () => {
    const bell = soundBell({ strikes: [free] });
    const fit = { ...bell.fit, otherSoundS: { value: 1.42, ci95: 0.18 } };
    const finding = findingOf("other-sounds", { ...bell, fit });
    expect(finding).toMatchObject({ outcome: "note", title: "Something else sounds over the ring" });
    expect(finding.text).toContain("About 1.42 ± 0.18 s after the strike");
    expect(findingOf("other-sounds", { ...bell, fit, strikes: [free, short] }).title).toBe(
      "Something else sounds, or strikes were left out",
    );
    expect(findingOf("other-sounds", { ...bell, fit: { ...fit, otherSoundS: null } }).outcome).toBe("good");
  });
});
