import { describe, expect, it } from "vitest";
import { noteFrequencyHz } from "../../src/foundry/note.ts";

describe("noteFrequencyHz", () => {
  it.each(["", "H4", "C", "C##4", "440", "C6 sharp", "Cb", "C10"])("noteFrequencyHz refuses %j", (text) => {
    expect(() => noteFrequencyHz(text, 440)).toThrow(/is not a note/);
  });

  // Equal temperament from A4 = 440 Hz (ISO 16:1975), to the hundredth as any table of it gives.
  it.each([
    ["A4", 440],
    ["C4", 261.63],
    ["C6", 1046.5],
    ["F#5", 739.99],
    ["Gb5", 739.99],
    ["b♭3", 233.08],
    ["C-1", 8.18],
  ])("noteFrequencyHz of %s is %d Hz", (note, expected) => {
    expect(Math.abs(noteFrequencyHz(note, 440) - expected)).toBeLessThan(0.005);
  });

  it("noteFrequencyHz goes with the A it is counted from", () => {
    expect(noteFrequencyHz("A5", 432)).toBe(864);
  });
});
