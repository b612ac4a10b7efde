import { mean } from "./evaluate.ts";

export interface Timing {
  runs: number;
  minMs: number;
  meanMs: number;
  sdMs: number;
}

/** Takes every result, so that no timed work can be optimised away. */
export const sink: { last: unknown } = { last: null };

/** Wall time of run() after warmUp unmeasured calls. */
export function timeRuns(run: () => unknown, { warmUp, runs }: { warmUp: number; runs: number }): Timing {
  for (let i = 0; i < warmUp; i++) sink.last = run();
  const ms = Array.from({ length: runs }, () => {
    const began = performance.now();
    sink.last = run();
    return performance.now() - began;
  });
  return timingOf(ms);
}

export function timingOf(ms: number[]): Timing {
  const average = mean(ms);
  const variance = ms.reduce((sum, t) => sum + (t - average) ** 2, 0) / Math.max(1, ms.length - 1);
  return { runs: ms.length, minMs: Math.min(...ms), meanMs: average, sdMs: Math.sqrt(variance) };
}
