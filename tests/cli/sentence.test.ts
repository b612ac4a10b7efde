import { expect, test } from "vitest";
import { ledBy } from "../../src/cli/sentence.ts";

test.each([
  ["The file is empty: copy or record it again.", "a.wav: the file is empty: copy or record it again"],
  ["A pin was left out", "a.wav: a pin was left out"],
  ["WAV files of this kind are not read.", "a.wav: WAV files of this kind are not read"],
  ["no strike was found", "a.wav: no strike was found"],
  ["It is cut short. What was there is measured.", "a.wav: it is cut short. What was there is measured."],
  ["", "a.wav: "],
])(
  "ledBy(where, %j) begins small and ends without a stop, unless there are two sentences",
  (sentence, text) => {
    expect(ledBy("a.wav", sentence)).toBe(text);
  },
);
