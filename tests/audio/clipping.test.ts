import { describe, expect, test } from "vitest";
import { decodeRecording, findClipping as findIn, samplesOf } from "../../src/audio/index.ts";
import { createRandom, packageSample } from "./samples.ts";

/** As a converter of that many bits gives it: rounded, and held at its lowest and highest code. */
function quantise(wave: Float32Array | number[], bits: number): Float32Array {
  const scale = 2 ** (bits - 1);
  return Float32Array.from(wave, (x) => Math.max(-scale, Math.min(scale - 1, Math.round(x * scale))) / scale);
}

function sine(
  length: number,
  frequencyHz: number,
  amplitude: number,
  phase = 0,
  rateHz = 48000,
): Float32Array {
  const angle = (2 * Math.PI * frequencyHz) / rateHz;
  return Float32Array.from({ length }, (_, i) => amplitude * Math.sin(angle * i + phase));
}

/** Eight inharmonic partials that die away in a fraction of a second, the peak at `peak`. */
function bell(seed: number, peak: number): Float32Array {
  const random = createRandom(seed);
  const partials = Array.from({ length: 8 }, () => ({
    angle: (2 * Math.PI * (200 + 6000 * random())) / 48000,
    phase: 2 * Math.PI * random(),
    decay: 1 / (2000 + 20000 * random()),
    level: random(),
  }));
  const wave = Float32Array.from({ length: 12000 }, (_, i) =>
    partials.reduce((sum, p) => sum + p.level * Math.exp(-i * p.decay) * Math.sin(p.angle * i + p.phase), 0),
  );
  const highest = wave.reduce((max, x) => Math.max(max, Math.abs(x)), 0);
  return wave.map((x) => (x * peak) / highest);
}

const findClipping = (channels: Float32Array[]) => findIn(samplesOf(channels));

const NONE = { clipped: false, clippedSamples: 0, stretches: [] };

describe("findClipping: nothing to find", () => {
  test("findClipping of no channel, no sample, silence and a constant is none", () => {
    expect(findClipping([])).toEqual(NONE);
    expect(findClipping([new Float32Array(0), new Float32Array(0)])).toEqual(NONE);
    expect(findClipping([new Float32Array(1000)])).toEqual(NONE);
    expect(findClipping([new Float32Array(1000).fill(1)])).toEqual(NONE);
    expect(findClipping([Float32Array.of(1)])).toEqual(NONE);
  });

  test("findClipping does not take one or two samples at full scale for clipping", () => {
    for (const count of [1, 2]) {
      const wave = quantise(sine(4800, 440, 0.3), 16);
      for (let i = 0; i < count; i++) wave[1000 + i] = 32767 / 32768;
      expect(findClipping([wave])).toEqual(NONE);
    }
  });

  test("findClipping never takes a pure sine for clipped, at any frequency, phase, level, depth or offset", () => {
    const random = createRandom(11);
    for (let i = 0; i < 3000; i++) {
      const frequencyHz = 2 * 12000 ** random();
      const bits = [4, 8, 12, 16, 24][i % 5];
      // A third at full scale, where the highest code is half a code short of the peak
      const amplitude = i % 3 === 0 ? 1 : 10 ** (-4 * random());
      const wave = sine(2000, frequencyHz, amplitude, 2 * Math.PI * random());
      const offset = i % 7 === 0 ? (1 - amplitude) * random() : 0;
      const channels = [
        quantise(
          wave.map((x) => x + offset),
          bits,
        ),
        wave,
      ];
      expect(findClipping(channels), `${frequencyHz} Hz, ${bits} bits, ${amplitude}`).toEqual(NONE);
    }
  });

  test("findClipping leaves tones at whole fractions of the sample rate alone", () => {
    for (let period = 2; period <= 64; period++) {
      for (let phase = 0; phase < 2 * Math.PI; phase += Math.PI / 12) {
        const wave = sine(960, 48000 / period, 1, phase);
        expect(findClipping([quantise(wave, 16), quantise(wave, 8), wave])).toEqual(NONE);
      }
    }
  });

  test("findClipping leaves noise of a few codes, and noise at full scale, alone", () => {
    const random = createRandom(3);
    for (const level of [2 ** -15, 2 ** -13, 2 ** -8, 0.99]) {
      const noise = Float32Array.from({ length: 20000 }, () => level * (2 * random() - 1));
      expect(findClipping([quantise(noise, 16)])).toEqual(NONE);
    }
  });

  test("findClipping leaves bells that just reach full scale alone", () => {
    for (let seed = 1; seed <= 60; seed++) {
      const wave = bell(seed, 1);
      expect(findClipping([quantise(wave, 16), quantise(wave, 8), wave]), `seed ${seed}`).toEqual(NONE);
    }
  });

  test("findClipping finds none in two real recordings whose peaks stay under full scale", async () => {
    for (const name of ["perc_bell.flac", "perc_bell2.flac"]) {
      const { channels } = await decodeRecording(packageSample(name));
      expect(findClipping(channels)).toEqual(NONE);
    }
  });
});

describe("findClipping: clipped", () => {
  test("findClipping marks the stretches of a sine driven over full scale, sample by sample", () => {
    const wave = sine(4800, 441, 1.3, 0.2);
    const { clipped, clippedSamples, stretches } = findClipping([quantise(wave, 16)]);
    expect(clipped).toBe(true);
    const marked = new Uint8Array(4800);
    for (const [start, end] of stretches) marked.fill(1, start, end);
    expect(clippedSamples).toBe(marked.reduce((sum, x) => sum + x, 0));
    wave.forEach((x, i) => {
      if (Math.abs(x) >= 1) expect(marked[i], `sample ${i}`).toBe(1);
      // Within the flatness of a thousandth a sample next to the top may count as part of it
      if (Math.abs(x) < 0.998) expect(marked[i], `sample ${i}`).toBe(0);
    });
  });

  test("findClipping finds a single cut blow at full scale, of either sign and at every depth", () => {
    for (const bits of [8, 16, 24]) {
      for (const sign of [1, -1]) {
        const wave = sine(4800, 700, 1, 0).map((x, i) => sign * x * (i < 50 ? 1.4 : 0.5));
        const { clipped, stretches } = findClipping([quantise(wave, bits)]);
        expect(clipped).toBe(true);
        // The first crest of 700 Hz is at 17 samples
        expect(stretches[0][0]).toBeLessThan(17);
        expect(stretches[0][1]).toBeGreaterThan(17);
      }
    }
  });

  test("findClipping finds the flat tops of a limiter under full scale, hard or soft", () => {
    const wave = bell(5, 1);
    const hard = wave.map((x) => Math.max(-0.4, Math.min(0.4, x)));
    const soft = wave.map((x) => 0.5 * Math.tanh(8 * x));
    for (const limited of [hard, soft]) {
      expect(findClipping([quantise(limited, 16)]).clipped).toBe(true);
      expect(findClipping([limited]).clipped).toBe(true);
    }
  });

  test("findClipping wants flat tops under full scale to come back", () => {
    const wave = sine(4800, 700, 0.5, 0);
    for (let i = 16; i < 20; i++) wave[i] = 0.6;
    expect(findClipping([wave])).toEqual(NONE);
  });

  test("findClipping counts the samples of all channels and joins their stretches", () => {
    const wave = quantise(sine(480, 441, 1.3), 16);
    const one = findClipping([wave]);
    const both = findClipping([wave, wave, new Float32Array(480)]);
    expect(both.clippedSamples).toBe(2 * one.clippedSamples);
    expect(both.stretches).toEqual(one.stretches);
  });
});
