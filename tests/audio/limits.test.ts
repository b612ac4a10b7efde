import { expect, test } from "vitest";
import { checkLength, checkShape, MAX_VALUES } from "../../src/audio/limits.ts";

test("checkShape refuses NaN, zero and what lies outside 1 to 8 channels and 8 to 192 kHz", () => {
  for (const channels of [Number.NaN, 0, 9]) expect(() => checkShape(channels, 48000)).toThrow("channels");
  for (const rateHz of [Number.NaN, 0, 7999, 192001])
    expect(() => checkShape(1, rateHz)).toThrow("sample rate");
  for (const channels of [1, 8]) for (const rateHz of [8000, 192000]) checkShape(channels, rateHz);
});

test("checkLength counts the samples of all channels", () => {
  checkLength(MAX_VALUES / 2, 2);
  expect(() => checkLength(MAX_VALUES / 2 + 1, 2)).toThrow("too long");
});
