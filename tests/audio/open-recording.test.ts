import { afterAll, describe, expect, test, vi } from "vitest";
import { decodeRecording, encodeWav16, type Recording, UnreadableAudioError } from "../../src/audio/index.ts";
import { createRandom, fixture, packageSample } from "./samples.ts";
import { concat, data, floatBytes, fmtChunk, pcmBytes, riff } from "./wav-builder.ts";

const printed = (["log", "info", "warn", "error"] as const).map((kind) => vi.spyOn(console, kind));

afterAll(() => {
  for (const spy of printed) expect(spy).not.toHaveBeenCalled();
});

describe("decodeRecording: what cannot be read", () => {
  test("decodeRecording refuses an empty file and one without sound", async () => {
    await expect(decodeRecording(new Uint8Array(0))).rejects.toThrow(UnreadableAudioError);
    await expect(decodeRecording(riff([fmtChunk(), data(new Uint8Array(0))]))).rejects.toThrow(
      "holds no sound",
    );
    // half a frame
    await expect(decodeRecording(riff([fmtChunk(), data(Uint8Array.of(1))]))).rejects.toThrow(
      "holds no sound",
    );
  });

  test("decodeRecording puts 0 for NaN and infinities and says how many", async () => {
    const bad = [Number.NaN, 0.5, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 1e300, -0.5];
    const recording = await decodeRecording(
      riff([fmtChunk({ code: 3, bits: 64 }), data(floatBytes(bad, 8))]),
    );
    expect(recording.channels[0]).toEqual(Float32Array.of(0, 0.5, 0, 0, 0, -0.5));
    expect(recording.warnings).toEqual(["4 samples are not finite numbers and were taken as 0."]);
    const one = riff([fmtChunk({ code: 3, bits: 32 }), data(floatBytes([Number.NaN, 1], 4))]);
    expect((await decodeRecording(one)).warnings).toEqual([
      "1 sample is not a finite number and was taken as 0.",
    ]);
  });

  test("decodeRecording of a small file that claims to be vast takes no memory for the claim", async () => {
    const wav = riff([
      fmtChunk({ channels: 8, rateHz: 192000 }),
      data(pcmBytes([1, 2, 3, 4, 5, 6, 7, 8], 2), 0xfffffff0),
    ]);
    expect((await decodeRecording(wav)).channels[0]).toHaveLength(1);
    const flac = fixture("deep.flac");
    // the 36-bit sample count of STREAMINFO, at its largest
    flac.set([flac[21] | 0x0f, 0xff, 0xff, 0xff, 0xff], 21);
    const { channels, warnings } = await decodeRecording(flac);
    expect(channels[0]).toHaveLength(960);
    expect(warnings.join()).toContain("cut short");
  });
});

describe("decodeRecording: coded sound", () => {
  /** Amplitude and delay against `A sin(2 pi f t)`, projected on whole periods in the middle of the tone. */
  function measureTone(
    channel: Float32Array,
    frequencyHz: number,
  ): { amplitude: number; delaySamples: number } {
    const angle = (2 * Math.PI * frequencyHz) / 48000;
    let sine = 0;
    let cosine = 0;
    // 4800 samples hold 100 periods of 1000 Hz and 150 of 1500 Hz
    for (let i = 3600; i < 8400; i++) {
      sine += (channel[i] * Math.sin(angle * i)) / 2400;
      cosine += (channel[i] * Math.cos(angle * i)) / 2400;
    }
    return { amplitude: Math.hypot(sine, cosine), delaySamples: -Math.atan2(cosine, sine) / angle };
  }

  const AMPLITUDE = 10 ** (-6 / 20);

  test("decodeRecording gives MP3, Vorbis and Opus back with their length, their channels and no delay", async () => {
    const cases: [string, string, number[]][] = [
      ["tone.mp3", "MP3", [1000, 1500]],
      ["mono.mp3", "MP3", [1000]],
      ["tone.ogg", "Ogg Vorbis", [1000, 1500]],
      ["tone.opus", "Ogg Opus", [1000, 1500]],
    ];
    for (const [name, format, tonesHz] of cases) {
      const recording = await decodeRecording(fixture(name));
      expect(recording).toMatchObject({ format, lossy: true, bits: null, sampleRateHz: 48000, warnings: [] });
      expect(recording.channels.map((channel) => channel.length)).toEqual(tonesHz.map(() => 12000));
      recording.channels.forEach((channel, c) => {
        const { amplitude, delaySamples } = measureTone(channel, tonesHz[c]);
        // A codec at these rates promises no level; one that could be told apart by ear (1 dB) would be a fault
        expect(Math.abs(20 * Math.log10(amplitude / AMPLITUDE))).toBeLessThan(1);
        // Delay is taken off in whole samples
        expect(Math.abs(delaySamples)).toBeLessThan(0.5);
        // The other channel's tone: a swap of the channels would show at 0 dB
        expect(measureTone(channel, 2500 - tonesHz[c]).amplitude).toBeLessThan(AMPLITUDE / 10);
      });
    }
  });

  test("decodeRecording of a cut stream keeps what is whole and says so", async () => {
    const cut = await decodeRecording(fixture("tone.mp3").subarray(0, 1700));
    expect(cut.channels[0].length).toBeGreaterThan(5000);
    expect(cut.channels[0].length).toBeLessThan(12000);
    expect(cut.warnings.join()).toMatch(/MP3 file is damaged or cut short after 0\.\d\d s/);
    for (const name of ["tone.ogg", "tone.opus"]) {
      // Their sound is all in the last page
      const bytes = fixture(name);
      await expect(decodeRecording(bytes.subarray(0, bytes.length - 1))).rejects.toThrow("copy it again");
    }
  });

  test("decodeRecording reads two real struck bells", async () => {
    for (const [name, samples] of [
      ["perc_bell.flac", 296317],
      ["perc_bell2.flac", 240546],
    ] as const) {
      const recording = await decodeRecording(packageSample(name));
      expect(recording).toMatchObject({
        format: "FLAC",
        lossy: false,
        sampleRateHz: 44100,
        bits: 16,
        warnings: [],
      });
      expect(recording.channels.map((channel) => channel.length)).toEqual([samples, samples]);
    }
  });

  test("decodeRecording reads bytes that are part of a larger buffer", async () => {
    for (const name of ["deep.flac", "tone.mp3", "tone.ogg", "tone.opus"]) {
      const bytes = fixture(name);
      const inside = concat([new Uint8Array(13), bytes, new Uint8Array(5)]).subarray(13, 13 + bytes.length);
      expect(await decodeRecording(inside)).toEqual(await decodeRecording(bytes));
    }
  });
});

describe("decodeRecording: damaged files", () => {
  /** The recording, checked; or null for a refusal in one sentence. */
  async function decodeOrRefuse(bytes: Uint8Array): Promise<Recording | null> {
    let recording: Recording;
    try {
      recording = await decodeRecording(bytes);
    } catch (error) {
      expect(error).toBeInstanceOf(UnreadableAudioError);
      expect((error as Error).message).toMatch(/^[A-Z][^\n]{10,220}\.$/);
      return null;
    }
    const { channels, sampleRateHz, bits } = recording;
    expect(channels.length).toBeGreaterThanOrEqual(1);
    expect(channels.length).toBeLessThanOrEqual(8);
    expect(channels[0].length).toBeGreaterThan(0);
    for (const channel of channels) {
      expect(channel.length).toBe(channels[0].length);
      expect(channel.every(Number.isFinite)).toBe(true);
    }
    expect(sampleRateHz >= 8000 && sampleRateHz <= 192000).toBe(true);
    expect(bits === null || (Number.isInteger(bits) && bits >= 1 && bits <= 64)).toBe(true);
    return recording;
  }

  /** Some bytes put to anything, half the time all of them in the header; every third file also cut. */
  function mutate(bytes: Uint8Array, random: () => number): Uint8Array {
    const mutated = Uint8Array.from(bytes);
    const reach = random() < 0.5 ? Math.min(100, bytes.length) : bytes.length;
    const count = 1 + Math.floor(20 * random() ** 3);
    for (let i = 0; i < count; i++) mutated[Math.floor(random() * reach)] = Math.floor(random() * 256);
    return random() < 1 / 3 ? mutated.subarray(0, Math.floor(random() * bytes.length)) : mutated;
  }

  const wave = Float32Array.from({ length: 300 }, (_, i) => 0.8 * Math.exp(-i / 100) * Math.sin(0.3 * i));
  const float = riff([
    { id: "bext", body: new Uint8Array(11) },
    fmtChunk({ code: 3, bits: 32, channels: 2 }),
    { id: "fact", body: Uint8Array.of(150, 0, 0, 0) },
    data(floatBytes([...wave], 4)),
    { id: "LIST", body: new Uint8Array(20) },
  ]);
  const files: [string, Uint8Array, number][] = [
    ["a 16-bit WAV", encodeWav16([wave, wave], 48000), 150],
    ["a float WAV", float, 150],
    ["a FLAC", fixture("deep.flac"), 100],
    ["an MP3", fixture("tone.mp3"), 60],
    ["an Ogg Vorbis", fixture("tone.ogg"), 20],
    ["an Ogg Opus", fixture("tone.opus"), 20],
  ];

  for (const [name, bytes, count] of files) {
    test(`decodeRecording gives a recording or a sentence for ${count} mutations of ${name}`, async () => {
      expect(await decodeOrRefuse(bytes)).not.toBeNull();
      const random = createRandom(count + bytes.length);
      let refused = 0;
      for (let i = 0; i < count; i++)
        refused += (await decodeOrRefuse(mutate(bytes, random))) === null ? 1 : 0;
      expect(refused).toBeGreaterThan(0);
    });
  }
});
