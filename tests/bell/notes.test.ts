import { describe, expect, test } from "vitest";
import { noteOf, noteToHz } from "../../src/bell/notes.ts";

const exactly = (value: number) => ({ value, ci95: 0 });

describe("noteOf(frequencyHz, a4Hz)", () => {
  test.each([Number.NaN, 0, -1, Number.POSITIVE_INFINITY])(
    "noteOf(%s Hz) is refused in a sentence",
    (hertz) => {
      expect(() => noteOf(exactly(hertz), 440)).toThrow(/frequency is .* Hz; a note needs a number above 0/);
      expect(() => noteOf(exactly(440), hertz)).toThrow(/A4 is .* Hz; it must be a number above 0/);
    },
  );

  test("noteOf(440 Hz) is A4 at 0 cents for A4 = 440 (ISO 16:1975)", () => {
    expect(noteOf(exactly(440), 440)).toEqual({ note: "A4", cents: { value: 0, ci95: 0 } });
  });

  test("noteOf() names octaves from C: B3 lies under C4, and C-1 is named", () => {
    expect(noteOf(exactly(261.625565), 440).note).toBe("C4");
    expect(noteOf(exactly(246.941651), 440).note).toBe("B3");
    expect(noteOf(exactly(8.175799), 440).note).toBe("C-1");
  });

  test("noteOf() follows A4 and carries the interval into cents", () => {
    const { note, cents } = noteOf({ value: 1046.5, ci95: 0.6 }, 442);
    expect(note).toBe("C6");
    // 1200 log2(440/442) = -7.85 cents; 1046.5 is within 0.01 cents of C6 at 440.
    expect(cents.value).toBeCloseTo(-7.85, 1);
    expect(cents.ci95).toBeCloseTo((1200 * Math.log2(Math.E) * 0.6) / 1046.5, 9);
  });

  test("noteOf() keeps cents within half a semitone over 20 Hz to 20 kHz", () => {
    for (let hertz = 20; hertz < 20_000; hertz *= 1.013) {
      const { note, cents } = noteOf(exactly(hertz), 440);
      expect(Math.abs(cents.value)).toBeLessThanOrEqual(50 + 1e-9);
      expect(noteToHz(note, 440) * 2 ** (cents.value / 1200)).toBeCloseTo(hertz, 8);
    }
  });
});

describe("noteToHz(name, a4Hz)", () => {
  test.each(["", "H4", "C", "4", "C#", "C#b4", "C4 Hz", "c 4", "A440", "É4"])(
    "noteToHz(%j) is refused in a sentence that shows a right one",
    (name) => {
      expect(() => noteToHz(name, 440)).toThrow(/is not a note; write .* such as C#6/);
    },
  );

  test("noteToHz() reads letters and Unicode signs alike", () => {
    for (const name of [" C#6 ", "C#6", "c#6", "C♯6", "Db6", "D♭6", "B##5", "Bx5", "B𝄪5"]) {
      expect(noteToHz(name, 440)).toBeCloseTo(1108.7305, 3);
    }
    expect(noteToHz("E𝄫6", 440)).toBeCloseTo(noteToHz("D6", 440), 9);
    expect(noteToHz("E♮4", 440)).toBeCloseTo(329.6276, 3);
  });

  test("noteToHz() crosses the octave with its accidental: Cb4 is B3, B#3 is C4", () => {
    expect(noteToHz("Cb4", 440)).toBeCloseTo(noteToHz("B3", 440), 9);
    expect(noteToHz("B#3", 440)).toBeCloseTo(noteToHz("C4", 440), 9);
    expect(noteToHz("A−1", 440)).toBeCloseTo(13.75, 9);
  });
});
