import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { expect, test } from "vitest";
import type { Recording } from "../../src/audio/index.ts";
import { readTapJson, type TapOptions, writeTapJson } from "../../src/measurement/index.ts";
import { measureTap } from "../../src/tap/index.ts";
import { makeRandom } from "../support/synthetic/index.ts";

const ACCEPT = "npm run golden:accept";
const RATE_HZ = 16000;
const OPTIONS: TapOptions = { label: "golden", a4Hz: 440, profile: "minor-third", ridges: 6, pins: {} };

/** Frequency, T60, amplitude, phase of each mode; a strike after 0.3 s of quiet, 2 s in all, rounded to 16 bits. */
function recorded(modes: [number, number, number, number][], seed: number): Recording {
  const random = makeRandom(seed);
  const x = new Float32Array(2 * RATE_HZ);
  const onset = Math.round(0.3 * RATE_HZ);
  for (const [hz, t60S, amplitude, phase] of modes) {
    const alpha = Math.log(1000) / t60S;
    for (let n = onset; n < x.length; n++) {
      const t = (n - onset) / RATE_HZ;
      x[n] += amplitude * Math.exp(-alpha * t) * Math.sin(2 * Math.PI * hz * t + phase);
    }
  }
  for (let n = 0; n < x.length; n++) x[n] = Math.round((x[n] + 3e-4 * random.normal()) * 32768) / 32768;
  return { format: "WAV", lossy: false, sampleRateHz: RATE_HZ, bits: 16, channels: [x], warnings: [] };
}

const BELLS = {
  tuned: recorded(
    [
      [260.1, 6, 0.1, 0.3],
      [520.4, 4, 0.14, 0.1],
      [625.2, 3.5, 0.1, 0.7],
      [781, 2, 0.05, 0.2],
      [1040.9, 1.8, 0.2, 0.4],
      [1561.8, 1.2, 0.1, 0.9],
      [2090.5, 0.9, 0.06, 0.5],
    ],
    11,
  ),
  warbling: recorded(
    [
      [700, 3, 0.15, 0.2],
      [701.4, 2.9, 0.12, 0.9],
      [1910, 1.5, 0.1, 0.4],
      [3700, 0.8, 0.08, 0.1],
    ],
    12,
  ),
};

for (const [name, recording] of Object.entries(BELLS)) {
  test(`measureTap of the small synthetic recording "${name}" measures as it did when it was accepted`, () => {
    const file = `fixtures/golden/${name}.json`;
    const text = writeTapJson(measureTap([{ file: `${name}.wav`, recording }], OPTIONS));
    if (process.env.ACCEPT_GOLDEN === "1") writeFileSync(file, text);
    expect(existsSync(file), `${file} is missing; ${ACCEPT} writes it`).toBe(true);
    const golden = readTapJson(readFileSync(file, "utf8"));
    const differences = differ(golden, JSON.parse(text), name);
    expect(differences, `if the new measurement is right, accept it with: ${ACCEPT}`).toEqual([]);
  });
}

/** Estimates may move by a fifth of their interval, curves by 0.1 dB, other numbers by a part in 10 000; texts not at all. */
function differ(before: unknown, now: unknown, path: string): string[] {
  if (path.endsWith("tool.version") || path.endsWith(".text") || path.includes(".evidence")) return [];
  if (typeof before === "number" && typeof now === "number") {
    const allowed = path.includes("curves") ? 0.1 + 1e-4 * Math.abs(before) : 1e-4 * Math.abs(before) + 1e-9;
    return Math.abs(before - now) <= allowed ? [] : [`${path}: ${before} became ${now}`];
  }
  if (before === null || now === null || typeof before !== "object" || typeof now !== "object") {
    return before === now ? [] : [`${path}: ${String(before)} became ${String(now)}`];
  }
  if (isEstimate(before) && isEstimate(now)) {
    const near = Math.abs(before.value - now.value) <= 0.2 * before.ci95 + 1e-9 * Math.abs(before.value);
    const alike = Math.abs(before.ci95 - now.ci95) <= 0.1 * before.ci95;
    return near && alike
      ? []
      : [`${path}: ${before.value} ± ${before.ci95} became ${now.value} ± ${now.ci95}`];
  }
  const keys = [...new Set([...Object.keys(before), ...Object.keys(now)])];
  return keys.flatMap((key) => differ(before[key as never], now[key as never], `${path}.${key}`));
}

function isEstimate(x: object): x is { value: number; ci95: number } {
  return "value" in x && "ci95" in x && Object.keys(x).length === 2;
}
