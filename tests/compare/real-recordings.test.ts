/**
 * Real bells: the two recordings of supersonic-scsynth-samples 0.84.2 (CC0-1.0; its PROVENANCE.md gives Freesound 221515,
 * AlaskaRobotics, and 415559, hullum), measured and compared.
 */
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, test } from "vitest";
import { decodeRecording, type Recording } from "../../src/audio/index.ts";
import { type Comparison, compareCastings, demoCastings } from "../../src/compare/index.ts";
import type { TapMeasurement } from "../../src/measurement/index.ts";
import { measureTap } from "../../src/tap/index.ts";
import { casting } from "./support/sample-castings.ts";

const FOLDER = new URL("../../node_modules/supersonic-scsynth-samples/samples/", import.meta.url);

/** The left channel, which is half the work and enough here. */
async function read(file: string): Promise<Recording> {
  const recording = await decodeRecording(readFileSync(new URL(file, FOLDER)));
  return { ...recording, channels: recording.channels.slice(0, 1) };
}

/** The recording with its samples put through `change`. */
const changed = (
  recording: Recording,
  change: (channel: Float32Array, rate: number) => Float32Array,
): Recording => ({
  ...recording,
  channels: recording.channels.map((channel) => change(channel, recording.sampleRateHz)),
});

function measured(file: string, recording: Recording): TapMeasurement {
  const options = { label: file, a4Hz: 440, profile: "minor-third", ridges: null, pins: {} };
  return measureTap([{ file, recording }], options);
}

const compare = (a: TapMeasurement, b: TapMeasurement): Comparison =>
  compareCastings([casting(a), casting(b)]);

/** Whatever says that something changed. */
function changesIn({ common, pairs }: Comparison): string[] {
  return [
    ...(common!.pitch.kind === "none" ? [] : [`pitch: ${common!.pitch.kind}`]),
    ...(common!.decay.kind === "none" ? [] : [`decay: ${common!.decay.kind}`]),
    ...pairs.flatMap((pair) => (pair.frequencyChanged || pair.decayChanged ? [pair.name] : [])),
  ];
}

let one: TapMeasurement;
let two: TapMeasurement;
let short: Recording;
let excerpt: TapMeasurement;

beforeAll(async () => {
  const first = await read("perc_bell.flac");
  one = measured("perc_bell.flac", first);
  short = changed(first, (channel, rate) => channel.slice(0, Math.round(4 * rate)));
  excerpt = measured("excerpt.wav", short);
  two = measured("perc_bell2.flac", await read("perc_bell2.flac"));
}, 60_000);

describe("compareCastings on recorded bells", () => {
  test("compareCastings says of the two bells that they are not of the same pattern", () => {
    for (const [a, b] of [
      [one, two],
      [two, one],
    ]) {
      const { samePattern, result } = compare(a, b);
      expect(samePattern.outcome).toBe("different");
      expect(result.text).toMatch(/^A and B are not castings of the same pattern/);
      expect(result.text).not.toMatch(/higher|lower|shape/);
    }
  });

  test("compareCastings finds no change between two excerpts of one strike", () => {
    const comparison = compare(one, excerpt);
    expect(changesIn(comparison)).toEqual([]);
    expect(comparison.samePattern.outcome).toBe("same");
    expect(comparison.pairs.every(({ beyondStrikeSpread }) => beyondStrikeSpread === null)).toBe(true);
    expect(comparison.result.text).toMatch(
      /^The decay did not change .*; the pitch did not change .*one strike/,
    );
  });

  test("compareCastings finds no change between two gains of one strike", () => {
    // 12 dB down, rounded to 16 bits again.
    const quiet = changed(short, (channel) => channel.map((x) => Math.round((x / 4) * 32768) / 32768));
    const comparison = compare(excerpt, measured("quiet.wav", quiet));
    expect(changesIn(comparison)).toEqual([]);
    expect(comparison.samePattern.outcome).toBe("same");
  }, 30_000);
});

describe("compareCastings on the computed recordings of the demonstration", () => {
  test("compareCastings tells what was put into them: 38 cents, and ratios of about 2.1 and 1.2", () => {
    const measurements = demoCastings().castings.map(({ file, sampleRateHz, samples }) =>
      measured(file, {
        format: "computed",
        lossy: false,
        sampleRateHz,
        bits: null,
        channels: [samples],
        warnings: [],
      }),
    );
    const { common, pairs, result } = compare(measurements[0], measurements[1]);
    expect(pairs).toHaveLength(8);
    expect(pairs.every(({ beyondStrikeSpread }) => beyondStrikeSpread)).toBe(true);
    // 1200 log2(1.0222) of the data file.
    expect(Math.abs(common!.cents.value - 38.01)).toBeLessThan(common!.cents.ci95);
    expect(result.text).toMatch(
      /in its five lowest partials and .* in its three highest partials.* 3[78]\.\d+ ± 0\.\d+ cents higher throughout/,
    );
  }, 60_000);
});
