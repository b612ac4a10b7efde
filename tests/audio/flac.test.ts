import { createHash } from "node:crypto";
import { expect, test } from "vitest";
import { decodeFlac } from "../../src/audio/flac.ts";
import { fixture, packageSample } from "./samples.ts";
import { concat, pcmBytes } from "./wav-builder.ts";

/** The MD5 sum of the unpacked samples that the encoder wrote to STREAMINFO (RFC 9639 section 8.2). */
function storedMd5(bytes: Uint8Array): string {
  return Buffer.from(bytes.subarray(8 + 18, 8 + 34)).toString("hex");
}

function md5(channels: Float32Array[], bits: number): string {
  const codes: number[] = [];
  for (let i = 0; i < channels[0].length; i++) {
    for (const channel of channels) codes.push(channel[i] * 2 ** (bits - 1));
  }
  return createHash("md5")
    .update(pcmBytes(codes, bits / 8))
    .digest("hex");
}

test("decodeFlac gives the very samples that were encoded, by the sum the encoder left", async () => {
  const cases: [string, number][] = [
    ["deep.flac", 960],
    ["perc_bell.flac", 296317],
    ["perc_bell2.flac", 240546],
  ];
  for (const [name, samples] of cases) {
    const bytes = name === "deep.flac" ? fixture(name) : packageSample(name);
    const { channels, bits, warnings, lossy } = await decodeFlac(bytes, 0);
    expect({ samples: channels[0].length, warnings, lossy }).toEqual({ samples, warnings: [], lossy: false });
    expect(md5(channels, bits!)).toBe(storedMd5(bytes));
  }
});

test("decodeFlac puts the lowest code at -1 and the highest just under 1, at every depth", async () => {
  for (const bits of [8, 16, 24, 32]) {
    const recording = await decodeFlac(fixture(`extremes-${bits}.flac`), 0);
    const scale = 2 ** (bits - 1);
    expect(recording.bits).toBe(bits);
    const expected = Float32Array.of(-1, (scale - 1) / scale, 0, 1 / scale, -1 / scale);
    // 32 bits pass through the decoder's float32, which holds 24: half a unit in the last place
    if (bits === 32) for (let i = 0; i < 5; i++) expect(recording.channels[0][i]).toBeCloseTo(expected[i], 7);
    else expect(recording.channels[0]).toEqual(expected);
  }
});

test("decodeFlac cut anywhere gives the whole frames before the cut and says so, or refuses", async () => {
  const bytes = fixture("deep.flac");
  const whole = (await decodeFlac(bytes, 0)).channels[0];
  for (let cut = 4; cut < bytes.length; cut += 29) {
    try {
      const { channels, warnings } = await decodeFlac(bytes.subarray(0, cut), 0);
      expect(channels[0].length % 192).toBe(0);
      expect(channels[0]).toEqual(whole.subarray(0, channels[0].length));
      expect(warnings.join()).toMatch(/damaged or cut short after 0\.0\d s of 0\.02 s/);
    } catch (error) {
      expect((error as Error).message).toMatch(/FLAC file.*copy it again\.$/);
    }
  }
});

test("decodeFlac ends a damaged recording before the damage", async () => {
  const bytes = fixture("deep.flac");
  const whole = (await decodeFlac(bytes, 0)).channels[0];
  const damaged = concat([bytes.subarray(0, 1000), Uint8Array.of(bytes[1000] ^ 1), bytes.subarray(1001)]);
  const { channels, warnings } = await decodeFlac(damaged, 0);
  expect(channels[0].length).toBeGreaterThan(0);
  expect(channels[0]).toEqual(whole.subarray(0, channels[0].length));
  expect(warnings).toHaveLength(1);
});
