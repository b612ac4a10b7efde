import { describe, expect, test } from "vitest";
import { soundBell } from "../support/sample-measurement.ts";
import { samplePartial, sampleStrike } from "../support/sample-parts.ts";
import { findingOf } from "./support.ts";

const RATIOS = [0.5, 1, 1.2, 1.5, 2, 3, 4];
const row = (primeHz: number) =>
  RATIOS.map((ratio) =>
    samplePartial(
      { name: null, frequencyHz: primeHz * ratio, lossFactor: 3e-4, levelDb: -3 * ratio },
      primeHz,
    ),
  );

const sorted = (...rows: ReturnType<typeof row>[]) =>
  rows.flat().sort((a, b) => a.frequencyHz.value - b.frequencyHz.value);

describe("second-bell", () => {
  test("second-bell of one row is good", () => {
    expect(findingOf("second-bell", soundBell()).outcome).toBe("good");
    expect(findingOf("second-bell", soundBell({ partials: row(500) })).outcome).toBe("good");
  });

  test("second-bell of two rows names where each begins", () => {
    const finding = findingOf("second-bell", soundBell({ partials: sorted(row(500), row(670)) }));
    expect(finding.outcome).toBe("attention");
    expect(finding.text).toMatch(/250\.\d+ .*335\.\d+ /);
  });

  test("second-bell of a quieter row is a note, and the louder bell keeps its note, tuning, warble and soundness", () => {
    const quieter = row(670).map((p) => ({ ...p, levelDb: { ...p.levelDb, value: p.levelDb.value - 15 } }));
    const both = soundBell({ partials: sorted(row(500), quieter) });
    expect(findingOf("second-bell", both)).toMatchObject({
      outcome: "note",
      title: "A quieter bell rings along",
      text: expect.stringContaining("are those of the louder one"),
    });
    for (const id of ["pitch", "tuning", "warble", "soundness", "damping"]) {
      expect(findingOf(id, both).text).not.toContain("Two bells");
    }
  });

  test("second-bell does not hear a neighbour that rings along 35 dB down, nor the rim partials of a tuned bell", () => {
    const weak = row(670).map((p) => ({ ...p, levelDb: { ...p.levelDb, value: p.levelDb.value - 35 } }));
    expect(findingOf("second-bell", soundBell({ partials: sorted(row(500), weak) })).outcome).toBe("good");
    // Ratios to half the nominal and levels of a carillon bell, rounded: Sather Tower carillon, Wessel, Campion and Davis,
    // UC Berkeley, CC BY-SA 4.0. From 2.6 on they hold a row of another bell: 2.6, 5.3, 6.6, 7.9, 10.5.
    const tuned: [number, number][] = [
      ...([
        [0.5, -8],
        [1, -14],
        [1.193, -6],
        [2, 0],
        [2.434, -16],
        [2.579, -4],
        [2.682, -10],
      ] as [number, number][]),
      ...([
        [2.991, -4],
        [3.233, -22],
        [4.105, -5],
        [5.308, -16],
        [6.03, -32],
        [6.572, -26],
      ] as [number, number][]),
      ...([
        [7.873, -32],
        [10.501, -30],
      ] as [number, number][]),
    ];
    const partials = tuned.map(([ratio, levelDb]) =>
      samplePartial({ name: null, frequencyHz: 280.45 * ratio, lossFactor: 3e-4, levelDb }, 280.45),
    );
    expect(findingOf("second-bell", soundBell({ partials })).outcome).toBe("good");
  });

  test("second-bell of two tuned bells a third apart, which share lines, asks for attention", () => {
    // The tierce of the upper is the quint of the lower, its nominal the tenth.
    const both = soundBell({
      partials: sorted(
        row(500),
        row(630).filter((_, i) => i !== 2),
      ),
    });
    expect(findingOf("second-bell", both).outcome).toBe("attention");
  });

  test("second-bell does not take what dies within a fifth of the bell's ring for another bell's hum or prime", () => {
    const another = row(670);
    const dull = another.map((p) => ({ ...p, q: { value: p.q.value / 10, ci95: p.q.ci95 / 10 } }));
    expect(findingOf("second-bell", soundBell({ partials: sorted(row(500), another) })).outcome).toBe(
      "attention",
    );
    expect(findingOf("second-bell", soundBell({ partials: sorted(row(500), dull) })).outcome).toBe("good");
  });

  test("damping of two rows is no middle of both", () => {
    const mixture = soundBell({ partials: sorted(row(500), row(670)) });
    expect(findingOf("damping", mixture)).toMatchObject({
      outcome: "not-measurable",
      text: expect.stringMatching(/^Two bells seem to sound/),
    });
    expect(findingOf("damping", soundBell({ partials: row(500) })).outcome).toBe("note");
  });

  test("warble of two rows is not measurable: a partial of one may beat with one of the other", () => {
    const mixture = soundBell({ partials: sorted(row(500), row(670)) });
    expect(findingOf("warble", mixture)).toMatchObject({
      outcome: "not-measurable",
      text: expect.stringMatching(/^Two bells seem to sound/),
    });
    expect(findingOf("warble", soundBell({ partials: row(500) })).outcome).toBe("good");
  });

  test("second-bell does not take the halves of partials that are split far for two bells", () => {
    // As a crack splits them: by 2 %. A bell a semitone higher, 6 %, is another.
    const split = soundBell({ partials: sorted(row(500), row(510)) });
    expect(findingOf("second-bell", split).outcome).toBe("good");
    const semitone = soundBell({ partials: sorted(row(500), row(530)) });
    expect(findingOf("second-bell", semitone).outcome).toBe("attention");
  });

  test("soundness is not judged where two bells sound: lines side by side need not be of one casting", () => {
    const both = soundBell({ partials: sorted(row(500), row(670)) });
    expect(findingOf("soundness", both).outcome).toBe("not-measurable");
    expect(findingOf("soundness", soundBell({ partials: row(500) })).outcome).not.toBe("not-measurable");
  });

  test("pitch and tuning are not judged where two bells sound: a mixture has neither", () => {
    const both = soundBell({ partials: sorted(row(500), row(670)) });
    expect(findingOf("pitch", both).outcome).toBe("not-measurable");
    expect(findingOf("tuning", both).text).toContain("which partial is whose");
    expect(findingOf("pitch", soundBell()).outcome).toBe("note");
  });

  test("second-bell of strikes that share few partials asks for attention", () => {
    const strikes = [sampleStrike(), sampleStrike({ onsetS: 4 })];
    const shared = row(500).map((p, i) => ({ ...p, strikeSpreadHz: i < 1 ? 0.01 : null }));
    expect(findingOf("second-bell", soundBell({ strikes, partials: shared })).title).toContain("one bell");
    const all = row(500).map((p) => ({ ...p, strikeSpreadHz: 0.01 }));
    expect(findingOf("second-bell", soundBell({ strikes, partials: all })).outcome).toBe("good");
  });
});
