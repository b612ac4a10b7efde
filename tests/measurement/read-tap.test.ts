import { readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  isTapMeasurement,
  MeasurementError,
  readTapJson,
  readTapMeasurement,
  type TapMeasurement,
} from "../../src/measurement/index.ts";
import { crackedBell, soundBell } from "../support/sample-measurement.ts";

const messageOf = (json: unknown): string => {
  try {
    readTapMeasurement(json);
  } catch (error) {
    expect(error).toBeInstanceOf(MeasurementError);
    return (error as Error).message;
  }
  return "accepted";
};

describe("readTapMeasurement", () => {
  test.each([
    [undefined, "missing"],
    [null, "null"],
    [Number.NaN, "NaN"],
    ["", 'the text ""'],
    [[], "a list of 0"],
    [true, "true"],
  ])("readTapMeasurement(%j) says that it is no measurement", (json, found) => {
    expect(messageOf(json)).toBe(
      `this is not a saved measurement: it is ${found} where an object is expected; save one with "ringwright tap --json FILE"`,
    );
  });

  test.each([
    [{}, "schema is missing"],
    [{ schema: 1 }, "schema is 1"],
    [{ schema: "ringwright.series/1" }, 'schema is the text "ringwright.series/1"'],
  ])("readTapMeasurement(%j) says that the schema is another", (json, found) => {
    expect(messageOf(json)).toContain(`${found} where "ringwright.tap/1" is expected`);
  });

  test("readTapMeasurement of a later version asks for the program that wrote it", () => {
    expect(messageOf({ ...soundBell(), schema: "ringwright.tap/27" })).toMatch(
      /schema "ringwright\.tap\/27", which this version of Ringwright does not know; use the version that wrote it/,
    );
  });

  const broken: [string, (m: TapMeasurement) => unknown, RegExp][] = [
    [
      "a word for a number",
      (m) => ({ ...m, partials: m.partials.map((p) => ({ ...p, q: { value: "high", ci95: 1 } })) }),
      /^partials\[0\]\.q\.value is the text "high" where a number above 0 is expected; measure/,
    ],
    [
      "a negative half-width",
      (m) => ({ ...m, sustain: { ...m.sustain, t60S: { value: 1, ci95: -1 } } }),
      /^sustain\.t60S\.ci95 is -1 where a number of 0 or more is expected/,
    ],
    ["a missing list", (m) => ({ ...m, strikes: undefined }), /^strikes is missing where a list is expected/],
    [
      "no recording",
      (m) => ({ ...m, recordings: [] }),
      /^recordings is a list of 0 where a list of at least 1/,
    ],
    [
      "a confidence of 2",
      (m) => ({ ...m, strikeNote: { ...m.strikeNote, confidence: 2 } }),
      /^strikeNote\.confidence is 2 where a number from 0 to 1 is expected/,
    ],
    [
      "an unknown word",
      (m) => ({ ...m, fit: { ...m.fit, noiseFrom: "a guess" } }),
      /^fit\.noiseFrom is the text "a guess" where one of "before the strike", "after the ring", "the residual"/,
    ],
    [
      "evidence of a known kind with a bad field",
      (m) => ({
        ...m,
        findings: [
          {
            id: "a",
            title: "",
            outcome: "note",
            text: "",
            evidence: [{ kind: "time", label: "", fromS: 0, toS: null }],
          },
        ],
      }),
      /^findings\[0\]\.evidence\[0\]\.toS is null where a number is expected/,
    ],
    [
      "a pin that is no frequency, its name quoted",
      (m) => ({ ...m, options: { ...m.options, pins: { "octave nominal": 0 } } }),
      /^options\.pins\["octave nominal"\] is 0 where a number above 0 is expected/,
    ],
    [
      "an index that points nowhere",
      (m) => ({ ...m, combinations: [{ frequencyHz: 1, levelDb: 0, of: [0, 99], text: "" }] }),
      /^combinations\[0\]\.of\[1\] is 99, but there are 8 partials; measure/,
    ],
    [
      "a strike in a recording that is not there",
      (m) => ({ ...m, strikes: m.strikes.map((s) => ({ ...s, recording: 1 })) }),
      /^strikes\[0\]\.recording is 1, but there are 1 recordings/,
    ],
    [
      "curves of different lengths",
      (m) => ({ ...m, curves: { ...m.curves, spectrum: { ...m.curves.spectrum, noiseDb: [] } } }),
      /^curves\.spectrum has lists of different lengths/,
    ],
    [
      "another first recording",
      (m) => ({ ...m, recording: { ...m.recording, file: "other.wav" } }),
      /^recording\.file is not that of the first of recordings/,
    ],
  ];
  test.each(broken)("readTapMeasurement with %s names the field", (_, change, message) => {
    const json = change(soundBell());
    expect(messageOf(json)).toMatch(message);
    expect(messageOf(json)).not.toContain("\n");
    expect(isTapMeasurement(json)).toBe(false);
  });

  test("readTapMeasurement cuts a long text short", () => {
    expect(messageOf({ ...soundBell(), strikes: "x".repeat(1e6) }).length).toBeLessThan(200);
  });

  test("readTapMeasurement lets a field of a later writer pass", () => {
    const later = { ...soundBell(), weatherOutside: "rain" };
    expect(readTapMeasurement(later)).toBe(later);
  });

  test("readTapMeasurement of anything either throws its own error or gives the value back", () => {
    fc.assert(
      fc.property(fc.anything(), (json) => {
        expect(messageOf(json)).not.toBe("accepted");
      }),
      { seed: 3, numRuns: 200 },
    );
  });
});

describe("readTapJson", () => {
  test.each(["", "{", "\ufeff", "RIFF....WAVE", '{"schema": "ringwright.tap/1", "tool'])(
    "readTapJson(%j) says in one sentence that the text is no measurement",
    (text) => {
      expect(() => readTapJson(text)).toThrow(
        /^this is not a saved measurement: the text is not JSON or is cut off; save/,
      );
    },
  );

  test("readTapJson of a text cut anywhere throws its own error", () => {
    const text = JSON.stringify({ ...crackedBell(), curves: undefined });
    fc.assert(
      fc.property(fc.nat(text.length - 1), (length) => {
        expect(() => readTapJson(text.slice(0, length))).toThrow(MeasurementError);
      }),
      { seed: 5, numRuns: 100 },
    );
  });

  test("readTapJson reads a file with a byte order mark", () => {
    const sample = soundBell();
    expect(readTapJson(`\ufeff${JSON.stringify(sample)}`)).toEqual(sample);
  });

  test("readTapJson reads the file saved as version 1, and will in every later version", () => {
    const text = readFileSync(
      new URL("../../fixtures/measurement/tap-1-noisy.json", import.meta.url),
      "utf8",
    );
    const saved = readTapJson(text);
    expect(saved.options.label).toBe("Invented noisy recording");
    expect(saved.partials.map((p) => p.frequencyHz.value)).toEqual([812.3, 1689]);
  });
});
