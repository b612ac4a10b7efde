import { describe, expect, it } from "vitest";
import type { TapMeasurement } from "../../src/measurement/index.ts";
import { soundBell } from "../support/sample-measurement.ts";
import { knownRecordings } from "./known-bells.ts";
import { type KnownBell, scoreReal } from "./score.ts";
import { realTables } from "./table.ts";

const sample: TapMeasurement = soundBell();
const lines = sample.partials.flatMap((p) => p.doublet?.members ?? [p]).map((l) => l.frequencyHz.value);
const named = sample.partials.filter((p) => p.name !== null);
const known: KnownBell = {
  noteHz: sample.strikeNote!.frequencyHz.value,
  lines: lines.map((hz) => ({ hz, tolHz: 0.1, db: -10 })),
  names: Object.fromEntries(named.map((p) => [p.name!, p.frequencyHz.value])),
};

describe("scoreReal", () => {
  it("scoreReal of a measurement that agrees finds nothing missed or wrong", () => {
    const score = scoreReal(known, sample);
    expect(score.missed).toEqual([]);
    expect(Object.values(score.names).map((n) => n.verdict)).toEqual(named.map(() => "right"));
    expect(score.note.right).toBe(true);
  });

  it("scoreReal counts lines within 35 dB, and neither weaker ones nor those within the tolerance", () => {
    const far = { hz: lines[0] * 0.7, tolHz: 0.1, db: -34.9 };
    const weak = { hz: lines[0] * 0.6, tolHz: 0.1, db: -35.1 };
    const near = { hz: lines[0] * 0.9, tolHz: lines[0] * 0.11, db: -10 };
    const score = scoreReal({ ...known, lines: [far, weak, near] }, sample);
    expect(score.lines).toBe(2);
    expect(score.missed).toEqual([far]);
  });

  it("scoreReal tells a wrong name from a withheld one, and a note half a semitone off from a right one", () => {
    const [first] = named;
    const other = { [first.name!]: first.frequencyHz.value * 1.01, "no such name": 100 };
    const cents = (c: number) => known.noteHz * 2 ** (c / 1200);
    const score = scoreReal({ ...known, names: other, noteHz: cents(49) }, sample);
    expect(Object.values(score.names).map((n) => n.verdict)).toEqual(["wrong", "withheld"]);
    expect(score.note.right).toBe(true);
    expect(scoreReal({ ...known, noteHz: cents(51) }, sample).note.right).toBe(false);
  });

  it("scoreReal of a refused recording misses every line and withholds every name", () => {
    const score = scoreReal(known, null);
    expect(score.missed).toHaveLength(lines.length);
    expect(new Set(Object.values(score.names).map((n) => n.verdict))).toEqual(new Set(["withheld"]));
    expect(score.note.right).toBe(false);
    const row = { name: "a", refused: "too short", cpuS: 1, wallS: 1, peakMiB: 1, ...score };
    expect(realTables([row])).toContain("a (too short)");
  });
});

describe("knownRecordings", () => {
  it("knownRecordings without a folder, or without lines.json in it, says in one sentence what it needs", () => {
    expect(knownRecordings(undefined, undefined)).toMatch(/^give a folder .*lines\.json/);
    expect(knownRecordings(import.meta.dirname, undefined)).toMatch(
      /lines\.json does not exist: it must list/,
    );
  });
});
