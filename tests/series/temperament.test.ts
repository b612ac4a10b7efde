import { describe, expect, it } from "vitest";
import { ownTemperament, TEMPERAMENT_IDS, temperamentById, tunedNoteHz } from "../../src/series/index.ts";

const NOTES = ["C", "C#", "D", "Eb", "E", "F", "F#", "G", "G#", "A", "Bb", "B"];
/** Steps up the chain of fifths from C, from three below it (Eb) to eight above (G#). */
const FIFTHS = [0, 7, 2, -3, 4, -1, 6, 1, 8, 3, -2, 5];
/** Published cent tables print a thousandth, so half of that is lost to rounding. */
const ROUNDING = 0.0005 + 1e-9;

const fromFifth = (ratio: number) =>
  FIFTHS.map((steps) => (((steps * 1200 * Math.log2(ratio)) % 1200) + 1200) % 1200);
/** The five-limit ratios of the usual tables. */
const JUST = [1, 16 / 15, 9 / 8, 6 / 5, 5 / 4, 4 / 3, 45 / 32, 3 / 2, 8 / 5, 5 / 3, 9 / 5, 15 / 8];

describe("temperamentById", () => {
  it("temperamentById refuses an unknown temperament and a tonic that is no note", () => {
    expect(() => temperamentById("wild")).toThrow(
      /"wild" is not known; write one of equal, just, pythagorean/,
    );
    expect(() => temperamentById("just", "H")).toThrow(/tonic "H" is not a note/);
  });

  it.each([
    ["equal", NOTES.map((_, i) => 100 * i)],
    ["just", JUST.map((ratio) => 1200 * Math.log2(ratio))],
    ["pythagorean", fromFifth(3 / 2)],
    // A quarter of the syntonic comma off each fifth makes four of them a pure third: the fourth root of 5.
    ["quarter-comma meantone", fromFifth(5 ** 0.25)],
  ])("temperamentById(%s) has the cents of its definition, to the digit that tables print", (id, cents) => {
    const { cents: given, source } = temperamentById(id);
    expect(source).not.toBe("");
    given.forEach((value, i) => {
      expect(Math.abs(value - cents[i]!), NOTES[i]).toBeLessThanOrEqual(ROUNDING);
    });
  });

  it("temperamentById knows the published meantone and Pythagorean rows (C to B, E flat to G sharp)", () => {
    expect(TEMPERAMENT_IDS).toHaveLength(4);
    expect(temperamentById("quarter-comma meantone").cents.slice(0, 5)).toEqual([
      0, 76.049, 193.157, 310.265, 386.314,
    ]);
    expect(temperamentById("pythagorean").cents.slice(7)).toEqual([
      701.955, 815.64, 905.865, 996.09, 1109.775,
    ]);
  });
});

describe("ownTemperament", () => {
  it("ownTemperament refuses what is not twelve ascending cents from 0", () => {
    const equal = NOTES.map((_, i) => 100 * i);
    for (const cents of [[], equal.slice(1), [...equal].reverse(), [...equal.slice(0, 11), 1200]]) {
      expect(() => ownTemperament(cents)).toThrow(/twelve ascending cents/);
    }
    expect(tunedNoteHz("C5", ownTemperament(equal), 440)).toBeCloseTo(523.2511, 4);
  });
});

describe("tunedNoteHz", () => {
  it("tunedNoteHz gives A4 its hertz in every temperament and from every tonic", () => {
    for (const id of TEMPERAMENT_IDS) {
      for (const tonic of NOTES)
        expect(tunedNoteHz("A4", temperamentById(id, tonic), 442)).toBeCloseTo(442, 9);
    }
  });

  it("tunedNoteHz builds the just chord on the tonic, across octaves and below C0", () => {
    const just = temperamentById("just", "D");
    const d = tunedNoteHz("D4", just, 440);
    // Cents to a thousandth: 3e-7 of a frequency.
    expect(tunedNoteHz("F#4", just, 440) / d).toBeCloseTo(5 / 4, 6);
    expect(tunedNoteHz("A4", just, 440) / d).toBeCloseTo(3 / 2, 6);
    expect(tunedNoteHz("C5", just, 440) / d).toBeCloseTo(9 / 5, 6);
    expect(tunedNoteHz("C4", just, 440) / d).toBeCloseTo(9 / 10, 6);
    expect(tunedNoteHz("D-1", just, 440) / d).toBeCloseTo(1 / 32, 9);
  });
});
