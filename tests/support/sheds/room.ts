import type { Random } from "../synthetic/index.ts";

/** What a place does to the sound of a blow. */
export interface Place {
  /** From the bell to the recorder, from the first direct sound on. */
  response: Float64Array;
  /** Of the diffuse sound; 0 in the open. */
  rtS: number;
}

const SOUND_M_PER_S = 343;
/** Images further than the room rings for, by this much under the direct sound, are left out. */
const LEAST_ENERGY_DB = -45;

/**
 * A shed by image sources (Allen & Berkley, J. Acoust. Soc. Am. 65 (1979) 943-950): a rectangular room of 2 to 6 m, reverberation
 * 0.3 to 0.6 s by Eyring's formula, the bell and the recorder at places 0.4 to 1 m apart and 0.3 m from walls. Absorption is one
 * number for all walls, and rises with the frequency: each reflection is a low-pass, so that a sound that has met many walls
 * is dull (a pole of 0.04 a reflection: assumed). The direct sound is turned down where a bell stands between (4 dB under the
 * reverberant sound in the median: assumed, for a recorder on a bench behind other things).
 */
export function shed(random: Random, sampleRateHz: number): Place {
  const size = [random.between(2, 6), random.between(2, 6), random.between(2, 3)];
  const rtS = random.between(0.3, 0.6);
  const volume = size[0] * size[1] * size[2];
  const surface = 2 * (size[0] * size[1] + size[1] * size[2] + size[0] * size[2]);
  const reflection = Math.sqrt(Math.exp((-24 * Math.LN10 * volume) / (SOUND_M_PER_S * surface * rtS)));
  const bell = size.map((length) => random.between(0.3, length - 0.3));
  const distance = random.between(0.4, 1);
  let recorder = bell;
  for (let tries = 0; recorder === bell; tries++) {
    const [x, y, z] = [random.normal(), random.normal(), random.normal()];
    const scale = distance / Math.hypot(x, y, z);
    const at = [bell[0] + x * scale, bell[1] + y * scale, bell[2] + z * scale];
    if (tries > 200 || at.every((p, axis) => p > 0.1 && p < size[axis] - 0.1)) recorder = at;
  }
  const lengthS = rtS * (-LEAST_ENERGY_DB / 60) + 0.01;
  const reverberant = imagesOf(
    size,
    bell,
    recorder,
    reflection,
    Math.round(lengthS * sampleRateHz),
    sampleRateHz,
  );
  const energy = reverberant.reduce((sum, x) => sum + x * x, 0);
  const directOverDb = -4 + 3 * random.normal();
  const direct = Math.sqrt(energy * 10 ** (directOverDb / 10));
  const response = reverberant.map((x) => x / direct);
  response[0] += 1;
  return { response, rtS };
}

/** Every image but the source itself, from the direct sound's arrival on. */
function imagesOf(
  size: number[],
  from: number[],
  to: number[],
  reflection: number,
  count: number,
  sampleRateHz: number,
): Float64Array {
  // Images of as many reflections are gathered in one row, which is then dulled as often.
  const rows: (Float64Array | undefined)[] = [];
  const direct = Math.hypot(...size.map((_, axis) => from[axis] - to[axis]));
  const farthest = direct + (count / sampleRateHz) * SOUND_M_PER_S;
  const reach = size.map((length) => Math.ceil(farthest / (2 * length)));
  for (let i = -reach[0]; i <= reach[0]; i++) {
    for (let j = -reach[1]; j <= reach[1]; j++) {
      for (let k = -reach[2]; k <= reach[2]; k++) {
        for (let mirror = 0; mirror < 8; mirror++) {
          const [u, v, w] = [mirror & 1, (mirror >> 1) & 1, mirror >> 2];
          const x = 2 * i * size[0] + (u ? -from[0] : from[0]) - to[0];
          const y = 2 * j * size[1] + (v ? -from[1] : from[1]) - to[1];
          const z = 2 * k * size[2] + (w ? -from[2] : from[2]) - to[2];
          const distance = Math.sqrt(x * x + y * y + z * z);
          if (distance > farthest) continue;
          const met =
            Math.abs(i - u) + Math.abs(i) + Math.abs(j - v) + Math.abs(j) + Math.abs(k - w) + Math.abs(k);
          if (met === 0) continue;
          const at = ((distance - direct) / SOUND_M_PER_S) * sampleRateHz;
          const whole = Math.floor(at);
          if (whole + 1 >= count || whole < 0) continue;
          rows[met] ??= new Float64Array(count);
          const height = reflection ** met / distance;
          rows[met][whole] += height * (whole + 1 - at);
          rows[met][whole + 1] += height * (at - whole);
        }
      }
    }
  }
  // From the dullest down: what has met n walls is dulled once more on the way to n - 1.
  const sum = new Float64Array(count);
  for (let met = rows.length - 1; met >= 1; met--) {
    const row = rows[met];
    if (row !== undefined) for (let n = 0; n < count; n++) sum[n] += row[n];
    let y = 0;
    for (let n = 0; n < count; n++) {
      y = (1 - DULLNESS) * sum[n] + DULLNESS * y;
      sum[n] = y;
    }
  }
  return withoutPressure(sum, sampleRateHz);
}

const DULLNESS = 0.04;
/** Under this a bell radiates nothing, while the images, which are all positive, add up to a pressure that dies last. */
const LOWEST_HZ = 80;

function withoutPressure(response: Float64Array, sampleRateHz: number): Float64Array {
  const part = 1 - Math.exp((-2 * Math.PI * LOWEST_HZ) / sampleRateHz);
  let [low, lower] = [0, 0];
  return response.map((x) => {
    low += part * (x - low);
    lower += part * (x - low - lower);
    return x - low - lower;
  });
}

/** A garden: the direct sound and its reflection from the ground, which is grass or stone; no reverberation. */
export function garden(random: Random, sampleRateHz: number): Place {
  const distance = random.between(0.4, 1);
  const height = random.between(0.4, 1.2);
  const path = Math.hypot(distance, 2 * height);
  const delay = Math.round(((path - distance) / SOUND_M_PER_S) * sampleRateHz);
  const response = new Float64Array(delay + 1);
  response[0] = 1;
  response[delay] = (random.between(0.3, 0.9) * distance) / path;
  return { response, rtS: 0 };
}
