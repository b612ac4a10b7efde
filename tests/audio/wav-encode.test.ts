import { expect, test } from "vitest";
import wavDecoder from "wav-decoder";
import { decodeRecording, encodeWav16 } from "../../src/audio/index.ts";

test("encodeWav16 refuses no channel, unequal lengths and rates that are none", () => {
  const one = new Float32Array(1);
  expect(() => encodeWav16([], 48000)).toThrow(RangeError);
  expect(() => encodeWav16([one, new Float32Array(2)], 48000)).toThrow(RangeError);
  for (const rateHz of [0, -1, 1.5, Number.NaN, Number.POSITIVE_INFINITY]) {
    expect(() => encodeWav16([one], rateHz)).toThrow(RangeError);
  }
});

test("encodeWav16 writes an empty channel as a header alone", () => {
  expect(encodeWav16([new Float32Array(0)], 48000)).toHaveLength(44);
});

test("encodeWav16 holds what is beyond full scale and writes NaN as 0", () => {
  const values = Float32Array.of(
    2,
    -2,
    1,
    -1,
    Number.NaN,
    Number.POSITIVE_INFINITY,
    Number.NEGATIVE_INFINITY,
  );
  const bytes = encodeWav16([values], 8000);
  const codes = new Int16Array(bytes.buffer.slice(44));
  expect([...codes]).toEqual([32767, -32768, 32767, -32768, 0, 32767, -32768]);
});

test("encodeWav16 rounds to the nearest code, and the reader gives the code back", async () => {
  const left = Float32Array.from({ length: 500 }, (_, i) => 0.9 * Math.sin(i));
  const right = left.map((value) => -value / 3);
  const { channels, sampleRateHz, bits, warnings } = await decodeRecording(encodeWav16([left, right], 44100));
  expect({ sampleRateHz, bits, warnings }).toEqual({ sampleRateHz: 44100, bits: 16, warnings: [] });
  [left, right].forEach((channel, c) => {
    // + 0 makes a zero of -0, which no code can tell
    expect(channels[c]).toEqual(channel.map((value) => Math.round(value * 32768) / 32768 + 0));
  });
});

test("encodeWav16 writes what wav-decoder, a reader of another hand, reads alike", () => {
  const channels = [Float32Array.of(0.5, -0.5, 0.25), Float32Array.of(-1, 0, 2 ** -15)];
  const decoded = wavDecoder.decode.sync(encodeWav16(channels, 96000).buffer, { symmetric: true });
  expect(decoded).toMatchObject({ sampleRate: 96000, numberOfChannels: 2, length: 3 });
  expect(decoded.channelData).toEqual(channels);
});
