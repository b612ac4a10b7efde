import type { RingDownCurve } from "../../measurement/index.ts";

/** A ring-down curve at equally spaced times from the strike on. */
export interface SampledCurve {
  /** dB; before its first point and after its last these points. */
  level: Float64Array;
  model: Float64Array;
  /** Whether the curve reaches to the time of this index. */
  seen(index: number): boolean;
}

/** A curve, which holds a point at least, at the times 0, stepS, 2 stepS…: straight lines between its points. */
export function sampleCurve(curve: RingDownCurve, stepS: number, count: number): SampledCurve {
  const { timeS, levelDb, modelDb } = curve;
  const level = new Float64Array(count);
  const model = new Float64Array(count);
  const last = timeS.length - 1;
  let next = 0;
  for (let k = 0; k < count; k++) {
    const t = k * stepS;
    while (next < last && timeS[next]! < t) next++;
    const before = Math.max(0, next - 1);
    const gap = timeS[next]! - timeS[before]!;
    const part = gap > 0 ? Math.min(1, Math.max(0, (t - timeS[before]!) / gap)) : 0;
    level[k] = levelDb[before]! + part * (levelDb[next]! - levelDb[before]!);
    model[k] = modelDb[before]! + part * (modelDb[next]! - modelDb[before]!);
  }
  return {
    level,
    model,
    seen: (index) => index * stepS >= timeS[0]! && index * stepS <= timeS[last]!,
  };
}

/** Weighted root mean square of values about their own straight line over the index; values of the weight 0 may be NaN. */
export function rmsAboutLine(values: Float64Array, weights: Float64Array): number {
  let sum = 0;
  let time = 0;
  let mean = 0;
  for (let k = 0; k < values.length; k++) {
    if (weights[k] === 0) continue;
    sum += weights[k]!;
    time += weights[k]! * k;
    mean += weights[k]! * values[k]!;
  }
  if (sum === 0) return 0;
  time /= sum;
  mean /= sum;
  let times = 0;
  let moment = 0;
  let squares = 0;
  for (let k = 0; k < values.length; k++) {
    if (weights[k] === 0) continue;
    const t = k - time;
    const value = values[k]! - mean;
    times += weights[k]! * t * t;
    moment += weights[k]! * t * value;
    squares += weights[k]! * value * value;
  }
  const taken = times > 0 ? moment ** 2 / times : 0;
  return Math.sqrt(Math.max(0, squares - taken) / sum);
}
