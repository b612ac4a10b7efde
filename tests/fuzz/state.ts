import { readFileSync, renameSync, writeFileSync } from "node:fs";
import type { Failure } from "./worker.ts";

export interface TargetState {
  /** Cases done, from the first on. */
  done: number;
  accepted: number;
  refused: number;
  cpuS: number;
  failures: Failure[];
}

/** What is known of a run; written after every step. */
export interface RunState {
  seed: number;
  targets: Record<string, TargetState>;
}

export function loadState(path: string | null, seed: number): RunState {
  if (path === null) return { seed, targets: {} };
  try {
    return JSON.parse(readFileSync(path, "utf8"));
  } catch {
    return { seed, targets: {} };
  }
}

export function saveState(path: string, state: RunState): void {
  writeFileSync(`${path}.part`, JSON.stringify(state, null, 1));
  renameSync(`${path}.part`, path);
}
