import { spawnSync } from "node:child_process";
import FFT from "fft.js";
import {
  type BellPlan,
  decayRateOfT60,
  makeRandom,
  renderBell,
  whiteNoise,
} from "../support/synthetic/index.ts";
import type { Estimator } from "./estimator.ts";
import { mean } from "./evaluate.ts";
import { decimals, markdownTable } from "./markdown.ts";
import { type Timing, timeRuns } from "./timing.ts";

/** What a process measured of one record length and rate. */
interface SpeedCase {
  seconds: number;
  sampleRateHz: number;
  total: Timing;
  stages: { name: string; ms: number }[];
  fftMs: number;
  fftExtrapolated: boolean;
  peakBytes: number;
}

/** Longer transforms take gigabytes in fft.js; their time is taken as proportional to N log N. */
const LONGEST_FFT = 2 ** 22;
const STRIKE_EVERY_S = 10;

/** Twelve partials, six of them split: a plain bell for timing. */
export function bellPlan(sampleRateHz: number, durationS: number): BellPlan {
  const random = makeRandom(12);
  const modes = [0.5, 1, 1.18, 1.5, 2, 2.5, 2.66, 3, 4.1, 5.4, 6.8, 8.2].flatMap((ratio, i) =>
    (i % 2 === 0 ? [0, 0.8] : [0]).map((splitHz) => ({
      frequencyHz: 600 * ratio + splitHz,
      decayRatePerS: decayRateOfT60(6 * ratio ** -0.8),
      amplitude: Float64Array.of(10 ** random.between(-1.5, 0)),
      phaseRad: Float64Array.of(random.sign() * 1.5),
    })),
  );
  const quietS = Math.min(0.4, durationS / 4);
  const noise = [whiteNoise(1e-3)];
  return { sampleRateHz, durationS, quietS, modes, noise, tones: [], artefacts: {}, peak: 0.5 };
}

/** The record of a case: strikes every 10 s, or one where it is shorter. */
function recordOf(seconds: number, sampleRateHz: number): Float32Array {
  const strike = renderBell(bellPlan(sampleRateHz, Math.min(seconds, STRIKE_EVERY_S)), 1).channels[0];
  const record = new Float32Array(Math.round(seconds * sampleRateHz));
  for (let from = 0; from < record.length; from += strike.length) {
    record.set(strike.subarray(0, Math.min(strike.length, record.length - from)), from);
  }
  return record;
}

/** Runs in a process of its own, so that its peak memory is that of one case. */
export function measureSpeed(estimator: Estimator, seconds: number, sampleRateHz: number): SpeedCase {
  const record = recordOf(seconds, sampleRateHz);
  const runs = seconds > 100 ? 1 : 5;
  const reports: { name: string; ms: number }[][] = [];
  const total = timeRuns(
    () => {
      const report = estimator.fit([record], sampleRateHz);
      reports.push(report.stages);
      return report;
    },
    { warmUp: seconds > 100 ? 0 : 2, runs },
  );
  const peakBytes = process.resourceUsage().maxRSS * 1024;
  const measured = reports.slice(-runs);
  const stages = measured[0].map(({ name }, i) => ({ name, ms: mean(measured.map((s) => s[i].ms)) }));
  let size = 2;
  while (size < record.length) size *= 2;
  const taken = Math.min(size, LONGEST_FFT);
  const fft = new FFT(taken);
  const padded = new Float64Array(taken);
  padded.set(record.subarray(0, taken));
  const out = fft.createComplexArray();
  const fftMs = timeRuns(() => fft.realTransform(out, padded), { warmUp: 1, runs: 5 }).minMs;
  const scale = (size * Math.log2(size)) / (taken * Math.log2(taken));
  return {
    seconds,
    sampleRateHz,
    total,
    stages,
    fftMs: fftMs * scale,
    fftExtrapolated: scale > 1,
    peakBytes,
  };
}

/** One process a case: `script` is this bench itself, started with --case seconds,rate. */
export function speedTable(script: string, method: string, cases: [number, number][]): string {
  const notes: string[] = [];
  const rows = cases.flatMap(([seconds, rate]) => {
    const { status, stdout, stderr } = spawnSync(
      process.execPath,
      ["--max-old-space-size=6000", script, "--method", method, "--case", `${seconds},${rate}`],
      { encoding: "utf8" },
    );
    if (status !== 0) {
      notes.push(`${seconds} s at ${rate} Hz ended with status ${status}: ${stderr.slice(0, 300)}`);
      return [];
    }
    const result: SpeedCase = JSON.parse(stdout);
    const sum = result.stages.reduce((total, stage) => total + stage.ms, 0);
    const shares = result.stages.map(({ name, ms }) => `${name} ${Math.round((100 * ms) / sum)} %`);
    return [
      [
        `${seconds} s, ${rate / 1000} kHz`,
        decimals(result.total.minMs, 0),
        `${decimals(result.total.meanMs, 0)} ± ${decimals(result.total.sdMs, 0)}`,
        (result.fftExtrapolated ? "~" : "") + decimals(result.total.minMs / result.fftMs, 2),
        decimals((1000 * seconds) / result.total.minMs, 0),
        decimals(result.peakBytes / 2 ** 20, 0),
        shares.join(", "),
      ],
    ];
  });
  const head = ["record", "min ms", "mean ± sd ms", "over one FFT", "s of audio per s", "peak MiB", "stages"];
  return [markdownTable(head, rows), ...notes].join("\n");
}
