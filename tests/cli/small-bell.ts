import { encodeWav16 } from "../../src/audio/index.ts";
import { addDampedSinusoid, decayRateOfT60 } from "../support/synthetic/modes.ts";
import { makeRandom } from "../support/synthetic/random.ts";

/** Ratios of the tuned minor-third bell, from hum to octave nominal. */
const RATIOS = [0.5, 1, 1.2, 1.5, 2, 3, 4];

/**
 * A small synthetic bell as a WAV file: 2 s at 16 kHz, mono, struck after 0.3 s of faint noise. Quick to measure, for
 * tests of everything around the measurement.
 */
export function smallBellWav({ seed = 1, seconds = 2, primeHz = 500 } = {}): Uint8Array {
  const sampleRateHz = 16000;
  const random = makeRandom(seed);
  const samples = new Float64Array(Math.round(seconds * sampleRateHz));
  RATIOS.forEach((ratio, i) => {
    const decay = decayRateOfT60(3 / ratio);
    addDampedSinusoid(
      samples,
      sampleRateHz,
      4800,
      ratio * primeHz,
      decay,
      0.12 * 0.8 ** i,
      random.between(-3, 3),
    );
  });
  random.addNormal(samples, 1e-4);
  return encodeWav16([Float32Array.from(samples)], sampleRateHz);
}
