import { beforeAll, describe, expect, it } from "vitest";
import { decodeRecording } from "../../src/audio/index.ts";
import type { TapMeasurement } from "../../src/measurement/index.ts";
import { METHOD, measureTap, NotMeasurableError } from "../../src/tap/index.ts";
import { data, floatBytes, fmtChunk, riff } from "../audio/wav-builder.ts";
import type { TrueMode } from "../support/synthetic/index.ts";
import { OPTIONS, struck, tunedModes } from "./bells.ts";
import { expectTruth, expectWhole, FS, measure, PRIME_HZ } from "./measuring.ts";

const NAMES = ["hum", "prime", "tierce", "quint", "nominal", "superquint", "octave nominal"];

/** A tuned bell whose tierce and nominal are split by 0.8 and 1.7 Hz. */
function splitModes(gains: number[] = [1]): TrueMode[] {
  const modes = tunedModes(PRIME_HZ, gains);
  const twin = (mode: TrueMode, splitHz: number) => ({
    ...mode,
    frequencyHz: mode.frequencyHz + splitHz,
    amplitude: mode.amplitude.map((a) => 0.6 * a),
  });
  return [...modes, twin(modes[2], 0.8), twin(modes[4], 1.7)].sort((a, b) => a.frequencyHz - b.frequencyHz);
}

describe("measureTap of one strike", () => {
  let m: TapMeasurement;
  beforeAll(() => {
    m = measure(struck(tunedModes(PRIME_HZ), 11).channels);
  });

  it("measureTap finds every partial of a tuned bell, its frequency and decay within their intervals", () => {
    expectTruth(m, tunedModes(PRIME_HZ));
  });

  it("measureTap names the partials of a tuned bell", () => {
    expect(m.partials.map((p) => p.name)).toEqual(NAMES);
  });

  it("measureTap finds no doublet, no interference and no glide where none was put in", () => {
    expect(m.partials.every((p) => p.doublet === null)).toBe(true);
    expect(m.interference).toEqual([]);
    expect(m.fit.freeDecay).toBe(true);
    expect(m.fit.note).toBeNull();
  });

  it("measureTap gives no spread between strikes of one strike", () => {
    expect(m.strikes).toHaveLength(1);
    expect(m.partials.every((p) => p.strikeSpreadHz === null && p.strikeSpreadS === null)).toBe(true);
  });

  it("measureTap says what made it: schema, method, options", () => {
    expect(m.schema).toBe("ringwright.tap/1");
    expect(m.tool).toMatchObject({ name: "ringwright", method: METHOD });
    expect(m.options).toEqual(OPTIONS);
  });

  it("measureTap gives the strike note of the tuned bell: half the nominal", () => {
    // The name of the note is by A = 440 Hz: 400 Hz is 35 cents over G4.
    expect(m.strikeNote?.note).toBe("G4");
    expect(Math.abs((m.strikeNote?.frequencyHz.value ?? 0) / PRIME_HZ - 1)).toBeLessThan(0.005);
  });

  it("measureTap draws the whole sound and every partial", () => {
    expect(m.curves.ringDowns.map((r) => r.partial)).toEqual([null, 0, 1, 2, 3, 4, 5, 6]);
  });

  it("measureTap gives finite numbers that are written and read back the same", () => expectWhole(m));

  it("measureTap gives the same measurement again", () => {
    expect(measure(struck(tunedModes(PRIME_HZ), 11).channels)).toEqual(m);
  });
});

describe("measureTap of a split bell", () => {
  it("measureTap finds the doublets, their splits within their intervals, in mono and in stereo", () => {
    for (const gains of [[1], [1, 0.7]]) {
      const m = measure(struck(splitModes(gains), 12, { durationS: 3.5 }).channels);
      const split = m.partials.filter((p) => p.doublet !== null);
      expect(split.map((p) => p.name)).toEqual(["tierce", "nominal"]);
      const errors = split.map((p, i) => Math.abs((p.doublet?.splitHz.value ?? 0) - [0.8, 1.7][i]));
      // Four standard errors: two splits in two recordings, once in several thousand.
      errors.forEach((e, i) => {
        expect(e).toBeLessThan(((split[i].doublet?.splitHz.ci95 ?? 0) * 4) / 1.96);
      });
      expectWhole(m);
    }
  });
});

describe("measureTap of two microphones", () => {
  it("measureTap claims no more of one microphone on two channels than of one channel", () => {
    const [x] = struck(tunedModes(PRIME_HZ), 51).channels;
    const mono = measure([x]);
    const dual = measure([x, x.map((v) => -0.5 * v)]);
    expect(dual.partials).toEqual(mono.partials);
  });

  it("measureTap measures beside a dead channel as if it were not there", () => {
    const [x] = struck(tunedModes(PRIME_HZ), 52).channels;
    expect(measure([new Float32Array(x.length), x]).partials).toEqual(measure([x]).partials);
  });

  it("measureTap takes two microphones of their own noise jointly and still finds the truth", () => {
    const m = measure(struck(tunedModes(PRIME_HZ, [1, 0.5]), 53).channels);
    expect(m.recording.channelUse).toBe("channels 1 and 2, fitted jointly");
    expectTruth(m, tunedModes(PRIME_HZ));
  });
});

describe("measureTap of a clipped strike", () => {
  it("measureTap says that the strike is clipped and measures what is not", () => {
    const [x] = struck(tunedModes(PRIME_HZ), 61).channels;
    const hot = x.map((v) => Math.max(-1, Math.min(32767 / 32768, 4 * v)));
    const m = measure([hot]);
    expect(m.recording.clipped).toBe(true);
    expect(m.strikes[0].clipped).toBe(true);
    expect(m.findings.find((f) => f.id === "clipping")?.outcome).toBe("attention");
    const hum = m.partials.find((p) => p.name === "hum");
    expect(hum?.frequencyHz.value).toBeCloseTo(PRIME_HZ / 2, 1);
    expectWhole(m);
  });
});

describe("measureTap of a file with samples that are no numbers", () => {
  const decode = (values: number[]) =>
    decodeRecording(riff([fmtChunk({ code: 3, rateHz: FS, bits: 32 }), data(floatBytes(values, 4))]));

  it("measureTap measures around a few of them and passes the reader's warning on", async () => {
    const values = [...struck(tunedModes(PRIME_HZ), 71).channels[0]];
    for (const n of [10, 20_000, 30_000]) values[n] = Number.NaN;
    const m = measureTap([{ file: "bell.wav", recording: await decode(values) }], OPTIONS);
    expect(m.recording.warnings).toEqual([expect.stringContaining("3 samples are not finite numbers")]);
    expect(m.partials.map((p) => p.name)).toEqual(
      expect.arrayContaining(["hum", "prime", "tierce", "nominal"]),
    );
    expectWhole(m);
  });

  it("measureTap takes a file of nothing else for silence", async () => {
    const recording = await decode(new Array(FS).fill(Number.NaN));
    expect(() => measureTap([{ file: "bell.wav", recording }], OPTIONS)).toThrow(NotMeasurableError);
  });
});
