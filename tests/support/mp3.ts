import { createMp3Encoder } from "wasm-media-encoders";

/** A mono signal as the bytes of an MP3 of constant bit rate, coded by LAME. */
export async function encodeMp3(
  channel: Float32Array,
  sampleRateHz: number,
  kilobitsPerS: 64 | 128,
): Promise<Uint8Array> {
  const encoder = await createMp3Encoder();
  const sampleRate = sampleRateHz as 44100 | 48000;
  encoder.configure({ sampleRate, outputSampleRate: sampleRate, channels: 1, bitrate: kilobitsPerS });
  const parts: Uint8Array[] = [];
  // What the encoder hands out is its own memory, used again at the next call.
  for (let n = 0; n < channel.length; n += BLOCK) {
    parts.push(encoder.encode([channel.subarray(n, n + BLOCK)]).slice());
  }
  parts.push(encoder.finalize().slice());
  return Buffer.concat(parts);
}

const BLOCK = 1152 * 20;

/** Samples by which `late` lags: the lag of the largest correlation over 4,000 samples from the onset on. */
export function delayOf(late: Float32Array, early: Float32Array, onset: number): number {
  let best = 0;
  let largest = 0;
  for (let lag = 0; lag < 3000; lag++) {
    let sum = 0;
    for (let n = onset; n < onset + 4000; n++) sum += early[n] * late[n + lag];
    if (sum > largest) {
      largest = sum;
      best = lag;
    }
  }
  return best;
}
