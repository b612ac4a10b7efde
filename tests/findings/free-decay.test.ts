import { describe, expect, test } from "vitest";
import { GLIDE_TAKEN_OFF } from "../../src/measurement/index.ts";
import { noisyRecording, soundBell } from "../support/sample-measurement.ts";
import { findingOf } from "./support.ts";

describe("free-decay", () => {
  test("free-decay of a sum of free decays is good", () => {
    expect(findingOf("free-decay", soundBell()).outcome).toBe("good");
  });

  test("free-decay repeats what the fit noted and says what to change", () => {
    const finding = findingOf("free-decay", noisyRecording());
    expect(finding.outcome).toBe("attention");
    expect(finding.text).toMatch(
      /^The level stands still for 0\.2 s .*visible peaks with wide intervals.*record again\.$/,
    );
    expect(finding.text).toContain("turn off its automatic level, limiter and noise reduction");
  });

  test("free-decay without a note still says what it means", () => {
    const { fit } = noisyRecording();
    const finding = findingOf("free-decay", noisyRecording({ fit: { ...fit, note: null } }));
    expect(finding.text).toMatch(/^The ring-down is not a sum of free decays\. /);
  });

  test("free-decay of a ring whose start departs asks to record again only where a strong partial's decay is lost, and names it", () => {
    const bell = soundBell();
    const fit = { ...bell.fit, note: "The early part of the ring departs from free decays." };
    const known = findingOf("free-decay", { ...bell, fit });
    expect(known.title).toBe("Free decays but for the start of the ring");
    expect(known.text).not.toContain("record again");
    const partials = bell.partials.map((p) =>
      p.name === "tierce" ? { ...p, decayTimeS: { value: 5, ci95: 3 } } : p,
    );
    const lost = findingOf("free-decay", { ...bell, fit, partials });
    expect(lost.outcome).toBe("note");
    expect(lost.title).toBe("The start of the ring is disturbed: record again");
    expect(lost.text).toContain("The decay time of the tierce is not known for it.");
    expect(lost.text).toContain("Turn off the recorder's automatic level and noise reduction");
  });

  test("free-decay of a ring whose glide was taken off leaves cause and advice to the finding on the glide", () => {
    const note = `All frequencies begin 0.30 ± 0.02 % sharp. ${GLIDE_TAKEN_OFF}; listed are the settled ones.`;
    const bell = soundBell();
    const finding = findingOf("free-decay", {
      ...bell,
      fit: { ...bell.fit, note, glidePercent: { value: -0.3, ci95: 0.02 } },
    });
    expect(finding.outcome).toBe("note");
    expect(finding.title).toBe("Free decays, with the glide taken off");
    expect(finding.text.startsWith(note)).toBe(true);
    expect(finding.text).not.toMatch(/automatic level|swing|recorder/);
  });

  test("free-decay of a ring under a moving gain leaves the advice to the finding on the gain", () => {
    const bell = soundBell();
    const partials = bell.partials.slice(0, 5).map((p) => ({ ...p, doublet: null }));
    const timeS = Array.from({ length: 176 }, (_, i) => 0.25 + 0.01 * i);
    // Straight decays, and a gain that comes back by 10 dB a second until it is whole at 1 s.
    const ringDowns = partials.map((_, partial) => {
      const modelDb = timeS.map((t) => -(20 + 5 * partial) * t);
      const levelDb = timeS.map((t, i) => modelDb[i]! + Math.min(0, 10 * (t - 1)));
      return { partial, timeS, levelDb, modelDb, noiseDb: -120 };
    });
    const strike = { ...bell.strikes[0]!, onsetS: 1, contactsS: [1], fitStartS: 1.006, leftOut: null };
    const moved = {
      ...bell,
      partials,
      strikes: [strike],
      curves: { ...bell.curves, ringDowns },
      fit: {
        ...bell.fit,
        note: "The early part of the ring departs from free decays.",
        startAfterContactS: 0.006,
      },
    };
    expect(findingOf("gain-control", moved).outcome).toBe("attention");
    const finding = findingOf("free-decay", moved);
    expect(finding.title).toBe("The moving gain disturbs the start of the ring");
    expect(finding.text).not.toMatch(/automatic level|swing/);
  });
});
