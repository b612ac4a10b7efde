import fc from "fast-check";
import { describe, expect, test } from "vitest";
import wavDecoder from "wav-decoder";
import { sourceOfBytes } from "../../src/audio/byte-source.ts";
import { UnreadableAudioError } from "../../src/audio/recording.ts";
import { openWav } from "../../src/audio/wav.ts";
import {
  type Chunk,
  concat,
  data,
  extensibleChunk,
  floatBytes,
  fmtChunk,
  pcmBytes,
  riff,
  text,
  u32,
} from "./wav-builder.ts";

/** Opened and read to its end. */
function decodeWav(bytes: Uint8Array) {
  const { format, bits, sampleRateHz, warnings, sampleCount, read } = openWav(sourceOfBytes(bytes));
  return { format, bits, sampleRateHz, warnings, channels: read(0, sampleCount) };
}

const FOUR = pcmBytes([1, -2, 3, -4], 2);

describe("openWav: wrong headers", () => {
  const refuses = (bytes: Uint8Array) => {
    try {
      decodeWav(bytes);
    } catch (error) {
      if (error instanceof UnreadableAudioError) return error.message;
      throw error;
    }
    return "";
  };

  test("openWav names the missing chunk", () => {
    expect(refuses(riff([]))).toContain("format chunk");
    expect(refuses(riff([data(FOUR)]))).toContain("format chunk");
    expect(refuses(riff([fmtChunk()]))).toContain("data chunk");
  });

  test("openWav refuses 0 and 9 channels and rates outside 8 to 192 kHz", () => {
    for (const fields of [
      { channels: 0 },
      { channels: 9 },
      { channels: 65535 },
      { rateHz: 0 },
      { rateHz: 7999 },
      { rateHz: 192001 },
      { rateHz: 0xffffffff },
    ]) {
      expect(refuses(riff([fmtChunk(fields), data(FOUR)]))).toMatch(/channels|sample rate/);
    }
  });

  test("openWav advises PCM for the codings of telephones and for numbers it does not know", () => {
    const message = (code: number) => refuses(riff([fmtChunk({ code, bits: 8 }), data(FOUR)]));
    expect(message(6)).toContain("A-law");
    expect(message(7)).toContain("mu-law");
    expect(message(2)).toContain("ADPCM");
    expect(message(0x1234)).toContain("4660");
    for (const code of [2, 6, 7, 17, 0x55, 0x1234])
      expect(message(code)).toContain("save the recording as PCM");
  });

  test("openWav refuses sample sizes that nothing writes", () => {
    for (const fields of [{ bits: 0, blockBytes: 0 }, { bits: 64 }, { bits: 200 }, { code: 3, bits: 16 }]) {
      expect(refuses(riff([fmtChunk(fields), data(FOUR)]))).toContain("bits per sample");
    }
  });

  test("openWav works out the sample size where the block size or the bits are missing", () => {
    const noBlock = decodeWav(riff([fmtChunk({ blockBytes: 0 }), data(FOUR)]));
    expect(noBlock.channels[0]).toHaveLength(4);
    expect(noBlock.warnings.join()).toContain("block size");
    const noBits = decodeWav(riff([fmtChunk({ bits: 0, blockBytes: 2 }), data(FOUR)]));
    expect([noBits.bits, noBits.channels[0].length, noBits.warnings.length]).toEqual([16, 4, 0]);
  });

  test("openWav takes a claimed length only as a hint", () => {
    const claims: [number, RegExp | null][] = [
      [8, null],
      [6, null],
      [0, /does not say how long/],
      [0xffffffff, /does not say how long/],
      [0x7ffff000, /does not say how long/],
      [96000, /cut short: its header promises 1.00 s and 0.00 s are there/],
    ];
    for (const [claimed, warning] of claims) {
      const { channels, warnings } = decodeWav(riff([fmtChunk(), data(FOUR, claimed)]));
      expect(channels[0]).toHaveLength(claimed === 6 ? 3 : 4);
      if (warning === null) expect(warnings).toEqual([]);
      else expect(warnings.join()).toMatch(warning);
    }
  });

  test("openWav does not take the chunk behind an empty data chunk for sound", () => {
    const empty = riff([fmtChunk(), data(new Uint8Array(0)), { id: "LIST", body: new Uint8Array(26) }]);
    expect(decodeWav(empty).channels[0]).toHaveLength(0);
  });

  test("openWav reads the whole frames of a file cut at any byte, or refuses it", () => {
    const whole = riff([{ id: "bext", body: new Uint8Array(7) }, fmtChunk(), data(FOUR)]);
    const start = whole.length - FOUR.length;
    for (let cut = 12; cut < whole.length; cut++) {
      if (cut < start) expect(refuses(whole.subarray(0, cut))).toMatch(/copy/);
      else expect(decodeWav(whole.subarray(0, cut)).channels[0]).toHaveLength(Math.floor((cut - start) / 2));
    }
  });

  test("openWav finds format and data behind a chunk that lies about its size", () => {
    for (const lie of [0x7fffffff, 0xfffffffe, 3]) {
      const bytes = riff([fmtChunk(), { id: "LIST", body: new Uint8Array(8), claimedSize: lie }, data(FOUR)]);
      const { channels, warnings } = decodeWav(bytes);
      expect(channels[0]).toEqual(Float32Array.of(1 / 32768, -2 / 32768, 3 / 32768, -4 / 32768));
      expect(warnings.join()).toContain("searched");
    }
    const fmt = { ...fmtChunk(), claimedSize: 0x40000000 };
    expect(decodeWav(riff([fmt, data(FOUR)])).channels[0]).toHaveLength(4);
  });
});

describe("openWav: samples", () => {
  test("openWav divides a code of n bits by 2^(n-1), at the extremes too", () => {
    for (const bits of [8, 16, 24, 32]) {
      const scale = 2 ** (bits - 1);
      const codes = [-scale, scale - 1, 0, 1, -1, -scale + 1];
      const { channels } = decodeWav(riff([fmtChunk({ bits }), data(pcmBytes(codes, bits / 8))]));
      expect(channels[0]).toEqual(Float32Array.from(codes, (code) => code / scale));
    }
  });

  test("openWav agrees with wav-decoder, bit for bit, on the depths whose scale that library shares", () => {
    const codes = Array.from({ length: 999 }, (_, i) => Math.round(32767 * Math.sin(i * i)));
    const files = [
      riff([fmtChunk({ channels: 3 }), data(pcmBytes(codes, 2))]),
      riff([fmtChunk({ channels: 3, bits: 24 }), data(pcmBytes(codes, 3))]),
      riff([fmtChunk({ channels: 3, bits: 32 }), data(pcmBytes(codes, 4))]),
      riff([fmtChunk({ channels: 3, bits: 32, code: 3 }), data(floatBytes(codes, 4))]),
      riff([fmtChunk({ channels: 3, bits: 64, code: 3 }), data(floatBytes(codes, 8))]),
    ];
    for (const bytes of files) {
      const buffer = Uint8Array.from(bytes).buffer;
      expect(decodeWav(bytes).channels).toEqual(
        wavDecoder.decode.sync(buffer, { symmetric: true }).channelData,
      );
    }
  });

  test("openWav keeps floats beyond full scale, and takes what is no number for 0 and says how many were none", () => {
    const values = [0.5, -3, Number.NaN, Number.POSITIVE_INFINITY, 1e300];
    const four = decodeWav(riff([fmtChunk({ code: 3, bits: 32 }), data(floatBytes(values, 4))]));
    const finite = Float32Array.of(0.5, -3, 0, 0, 0);
    expect(four.channels[0]).toEqual(finite);
    expect(four.warnings).toEqual(["3 samples are not finite numbers and were taken as 0."]);
    expect([four.format, four.bits]).toEqual(["WAV (float)", 32]);
    const eight = decodeWav(riff([fmtChunk({ code: 3, bits: 64 }), data(floatBytes(values, 8))]));
    expect(eight.channels[0]).toEqual(finite);
    expect(eight.bits).toBe(64);
  });

  test("openWav reads WAVE_FORMAT_EXTENSIBLE with fewer valid bits than its container", () => {
    const twenty = riff([extensibleChunk({ bits: 24, validBits: 20 }), data(pcmBytes([-8388608, 16], 3))]);
    expect(decodeWav(twenty)).toMatchObject({ bits: 20, channels: [Float32Array.of(-1, 2 ** -19)] });
    const padded = riff([extensibleChunk({ bits: 32, validBits: 24 }), data(pcmBytes([256], 4))]);
    expect(decodeWav(padded)).toMatchObject({ bits: 24, channels: [Float32Array.of(2 ** -23)] });
    const float = riff([extensibleChunk({ bits: 32, validBits: 32, code: 3 }), data(floatBytes([0.25], 4))]);
    expect(decodeWav(float)).toMatchObject({ format: "WAV (float)", channels: [Float32Array.of(0.25)] });
  });

  test("openWav reads RF64 and BW64, whose length stands in ds64", () => {
    const ds64 = (bytes: number): Chunk => ({
      id: "ds64",
      body: concat([u32(0), u32(0), u32(bytes), u32(0), u32(0), u32(0), u32(0)]),
    });
    for (const id of ["RF64", "BW64"]) {
      const trailing: Chunk = { id: "LIST", body: text("INFOxxxx") };
      const right = riff([ds64(8), fmtChunk(), data(FOUR, 0xffffffff), trailing], id);
      expect(decodeWav(right)).toMatchObject({ warnings: [], channels: [{ length: 4 }] });
      const unfinished = riff([ds64(0), fmtChunk(), data(FOUR, 0xffffffff)], id);
      expect(decodeWav(unfinished).channels[0]).toHaveLength(4);
      expect(decodeWav(unfinished).warnings.join()).toContain("does not say how long");
    }
  });

  test("openWav reads across the blocks in which it works", () => {
    const codes = Array.from({ length: 2 * 70000 }, (_, i) => (i % 65536) - 32768);
    const { channels } = decodeWav(riff([fmtChunk({ channels: 2 }), data(pcmBytes(codes, 2))]));
    expect(channels.map((channel) => channel.length)).toEqual([70000, 70000]);
    expect(channels[1].every((value, i) => value * 32768 === codes[2 * i + 1])).toBe(true);
  });

  test("openWav gives back every code, for 1 to 8 channels and any chunks in between", () => {
    const clutter = fc.array(
      fc.record({
        id: fc.constantFrom("bext", "LIST", "fact", "JUNK", "cue ", "iXML"),
        body: fc.uint8Array({ maxLength: 40 }),
      }),
      { maxLength: 3 },
    );
    const input = fc.record({
      bytesPerValue: fc.constantFrom(1, 2, 3, 4),
      channels: fc.integer({ min: 1, max: 8 }),
      rateHz: fc.integer({ min: 8000, max: 192000 }),
      frames: fc.integer({ min: 0, max: 9 }),
      seed: fc.integer({ min: 1, max: 1e6 }),
      before: clutter,
      between: clutter,
      behind: clutter,
    });
    fc.assert(
      fc.property(input, ({ bytesPerValue, channels, rateHz, frames, seed, before, between, behind }) => {
        const scale = 2 ** (8 * bytesPerValue - 1);
        const codes = Array.from({ length: frames * channels }, (_, i) =>
          Math.floor(scale * Math.sin(seed + i * i)),
        );
        const fmt = fmtChunk({ channels, rateHz, bits: 8 * bytesPerValue });
        const bytes = riff([...before, fmt, ...between, data(pcmBytes(codes, bytesPerValue)), ...behind]);
        const recording = decodeWav(bytes);
        expect(recording).toMatchObject({ sampleRateHz: rateHz, bits: 8 * bytesPerValue, warnings: [] });
        expect(recording.channels).toHaveLength(channels);
        recording.channels.forEach((channel, c) => {
          const expected = codes.filter((_, i) => i % channels === c).map((code) => code / scale);
          expect(channel).toEqual(Float32Array.from(expected));
        });
      }),
      { seed: 1, numRuns: 200 },
    );
  });
});
