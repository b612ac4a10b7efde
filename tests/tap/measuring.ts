import { expect } from "vitest";
import { readTapJson, type TapMeasurement, writeTapJson } from "../../src/measurement/index.ts";
import { measureTap } from "../../src/tap/index.ts";
import type { TrueMode } from "../support/synthetic/index.ts";
import { OPTIONS, recordingOf } from "./bells.ts";

export const FS = 16000;
export const PRIME_HZ = 400;

export const measure = (channels: Float32Array[], sampleRateHz = FS) =>
  measureTap([{ file: "bell.wav", recording: recordingOf(channels, sampleRateHz) }], OPTIONS);

/** Paths of the numbers that are not finite. */
function notFinite(data: unknown, path = ""): string[] {
  if (typeof data === "number") return Number.isFinite(data) ? [] : [path];
  if (typeof data !== "object" || data === null) return [];
  return Object.entries(data).flatMap(([key, item]) => notFinite(item, `${path}.${key}`));
}

export function expectWhole(m: TapMeasurement) {
  expect(notFinite(m)).toEqual([]);
  const text = writeTapJson(m);
  expect(writeTapJson(readTapJson(text))).toBe(text);
}

/**
 * The values that should lie in their 95 % intervals: of `count` independent ones, more than this many outside come by
 * chance less than once in a hundred (binomial).
 */
export function mostOutside(count: number): number {
  let tail = 1;
  let term = 0.95 ** count;
  for (let k = 0; ; k++) {
    tail -= term;
    if (tail < 0.01) return k;
    term *= ((count - k) / (k + 1)) * (0.05 / 0.95);
  }
}

export function expectTruth(m: TapMeasurement, modes: TrueMode[]) {
  expect(m.partials).toHaveLength(modes.length);
  const outside = modes.flatMap((mode, i) => {
    const { frequencyHz: f, decayTimeS: t } = m.partials[i];
    const t60S = Math.log(1000) / mode.decayRatePerS;
    return [Math.abs(f.value - mode.frequencyHz) > f.ci95, Math.abs(t.value - t60S) > t.ci95];
  });
  expect(outside.filter(Boolean).length).toBeLessThanOrEqual(mostOutside(outside.length));
}
