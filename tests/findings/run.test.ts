import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { runFindings } from "../../src/findings/index.ts";
import { REGISTER } from "../../src/findings/register.ts";
import { readTapMeasurement, type TapMeasurement } from "../../src/measurement/index.ts";
import { crackedBell, emptyMeasurement, noisyRecording, soundBell } from "../support/sample-measurement.ts";
import { type PartialSpec, sampleMeasurement, sampleStrike } from "../support/sample-parts.ts";

const SAMPLES = { soundBell, crackedBell, noisyRecording, emptyMeasurement };

/** Words that only a fault leaves in a sentence. */
const FAULTY = /NaN|Infinity|undefined|null|\[object|this check failed/;

/** What a sentence says is complete: a capital, a full stop, no double space. */
const SENTENCES = /^[A-Z0-9](?!.* {2}).*[.)]$/s;

function expectSoundFindings(measurement: TapMeasurement) {
  const findings = runFindings(measurement);
  expect(findings.map((f) => f.id)).toEqual(REGISTER.map((rule) => rule.id));
  for (const f of findings) {
    expect(f.text).not.toMatch(FAULTY);
    expect(f.text).toMatch(SENTENCES);
    expect(f.title).toMatch(/^[A-Z][^.]*$/);
  }
  // Evidence fits the schema and points at partials and recordings that are there.
  expect(readTapMeasurement({ ...measurement, findings }).findings).toBe(findings);
  return findings;
}

describe("runFindings", () => {
  test("runFindings of an empty measurement judges only the recording", () => {
    const judged = expectSoundFindings(emptyMeasurement()).filter((f) => f.outcome !== "not-measurable");
    expect(judged.map((f) => f.id)).toEqual(["clipping", "coding", "clock", "file"]);
  });

  test.each(Object.entries(SAMPLES))(
    "runFindings of %s gives whole sentences and valid evidence",
    (_, build) => {
      expectSoundFindings(build());
    },
  );

  test.each(Object.entries(SAMPLES))("runFindings of %s leaves the measurement alone", (_, build) => {
    const measurement = build();
    const before = structuredClone(measurement);
    runFindings(measurement);
    expect(measurement).toEqual(before);
  });

  test("runFindings says of a sound bell what a founder asks first, first", () => {
    const ids = runFindings(soundBell()).map((f) => f.id);
    expect(ids.slice(0, 4)).toEqual(["soundness", "pitch", "tuning", "warble"]);
    expect(new Set(ids).size).toBe(ids.length);
  });

  test.each(Object.entries(SAMPLES))(
    "runFindings of %s gives no measured number without its interval",
    (_, build) => {
      // A measured number carries a decimal point; counts, limits and the NIOSH level do not.
      for (const { text } of runFindings(build())) {
        const bare = text.replace(/\(?[\d.]+ \u00b1 [\d.]+\)?/g, "").match(/\d+\.\d+/g) ?? [];
        expect(
          bare.filter((number) => number !== "0.2" && number !== "0.002"),
          text,
        ).toEqual([]);
      }
    },
  );

  test("runFindings of any measurement gives whole sentences and valid evidence", () => {
    const spec: fc.Arbitrary<PartialSpec> = fc.record(
      {
        name: fc.constantFrom(null, "hum", "prime", "nominal", "superquint"),
        nameConfidence: fc.constantFrom(0.1, 0.79, 0.8, 1),
        nodalMeridians: fc.constantFrom(null, 0, 2, 5),
        frequencyHz: fc.double({ min: 20, max: 20000, noNaN: true }),
        lossFactor: fc.double({ min: 1e-6, max: 1, noNaN: true }),
        levelDb: fc.double({ min: -80, max: 0, noNaN: true }),
        idealRatio: fc.constantFrom(null, 1, 2),
        // Of the frequency, for now: no member may fall below 0 Hz.
        splitHz: fc.double({ min: 1e-6, max: 0.5, noNaN: true }),
        weakerDb: fc.double({ min: 0, max: 40, noNaN: true }),
        relativeCi95: fc.double({ min: 1e-6, max: 5, noNaN: true }),
      },
      { requiredKeys: ["frequencyHz", "lossFactor", "levelDb"] },
    );
    fc.assert(
      fc.property(
        fc.array(spec, { maxLength: 9 }),
        fc.constantFrom(null, 1, 3, 4, 1000),
        fc.boolean(),
        fc.constantFrom(null, { value: 0, ci95: 0.1 }, { value: -60, ci95: 5 }),
        fc.double({ min: -20, max: 90, noNaN: true }),
        (specs, ridges, freeDecay, glidePercent, snrDb) => {
          const inHz = specs.map(({ splitHz, ...s }) =>
            splitHz === undefined ? s : { ...s, splitHz: splitHz * s.frequencyHz },
          );
          const base = sampleMeasurement(inHz, {
            strikes: [sampleStrike({ snrDb }), sampleStrike({ leftOut: "invented" })],
            curves: { spectrum: { frequencyHz: [], levelDb: [], noiseDb: [] }, ringDowns: [] },
          });
          expectSoundFindings({
            ...base,
            options: { ...base.options, ridges },
            fit: { ...base.fit, freeDecay, glidePercent },
          });
        },
      ),
      { seed: 17, numRuns: 150 },
    );
  });
});
