import type { Estimate } from "../measurement/index.ts";
import { meanOfCorrelated } from "./correlated.ts";
import type { QuietStretch } from "./strike.ts";

const BLOCK_S = 0.05;
/** The end of a ring is noise when its last fifth lies less than 1 dB under the fifth before, or less than 3 dB and within their scatter. */
const TAIL = 0.2;
const FLAT = 1.26;
const NEARLY_FLAT = 2;

/**
 * Noise power of the whole sound: the mean of the sum over the channels of the squared samples, full scale 1.
 *
 * From the quiet stretch, or from the last fifth of the ring where that is lower (noise cannot be less than nothing added to it) or where
 * there is no quiet and the ring has become steady by then. The interval comes from the scatter between blocks of 50 ms, widened by
 * what the tail still falls. Where a ring falls to the end of its record the noise is not seen: the value is 0 and the half-width the power of the last
 * fifth, which is the most it can be.
 */
export function noisePower(
  channels: Float32Array[],
  sampleRateHz: number,
  quiet: QuietStretch | null,
  onsetSample: number,
  endSample: number,
): Estimate {
  const block = Math.round(BLOCK_S * sampleRateHz);
  const fifth = Math.floor(TAIL * (endSample - onsetSample));
  const tail = meanOfCorrelated(blockPowers(channels, endSample - fifth, endSample, block));
  if (quiet !== null) {
    const seen = meanOfCorrelated(blockPowers(channels, quiet.startSample, quiet.endSample, block));
    if (seen !== null) return tail !== null && tail.value < seen.value ? tail : seen;
  }
  const before = meanOfCorrelated(blockPowers(channels, endSample - 2 * fifth, endSample - fifth, block));
  if (tail === null || before === null) return { value: 0, ci95: tail?.value ?? 0 };
  const fall = before.value / tail.value;
  const chance = before.value - tail.value < Math.hypot(before.ci95, tail.ci95);
  if (fall > (chance ? NEARLY_FLAT : FLAT)) return { value: 0, ci95: tail.value };
  return { value: tail.value, ci95: tail.ci95 + Math.abs(before.value - tail.value) };
}

function blockPowers(channels: Float32Array[], from: number, to: number, block: number): Float64Array {
  const powers = new Float64Array(Math.max(0, Math.floor((to - from) / block)));
  for (const channel of channels) {
    for (let i = 0; i < powers.length; i++) {
      let sum = 0;
      for (let n = from + i * block; n < from + (i + 1) * block; n++) sum += channel[n] * channel[n];
      powers[i] += sum / block;
    }
  }
  return powers;
}
