import { spawn } from "node:child_process";
import { type FSWatcher, rmSync, watch } from "node:fs";
import { join } from "node:path";
import type { Random } from "../../support/synthetic/random.ts";
import { type Files, filesIn, isLeftover, type Scenario } from "./scenarios.ts";

/** When a run was killed, by what it had done. */
export interface Kills {
  runs: number;
  /** Ended by itself before the signal came. */
  tooLate: number;
  /** Killed, and all files were the old ones. */
  before: number;
  /** Killed, and a temporary file was left: in the middle of writing one. */
  during: number;
  /** Killed, and some or all files were new. */
  after: number;
}

export const noKills = (): Kills => ({ runs: 0, tooLate: 0, before: 0, during: 0, after: 0 });

/**
 * Starts the program over and over and ends it with SIGKILL: half the times at a moment drawn from its whole run, half
 * the times just after something changes in its folder, which is when files are written. After each the files are
 * checked, and what was left is cleared for the next.
 */
export async function killRuns(
  bin: string,
  scenario: Scenario,
  folder: string,
  tookMs: number,
  runs: number,
  random: Random,
): Promise<Kills> {
  const kills = noKills();
  for (let run = 0; run < runs; run++) {
    const before = filesIn(folder);
    const killed = await killOnce(bin, scenario.argv, folder, {
      atMs: random.uniform() * tookMs * 1.1,
      // From the first sign of a file on; a flush to disk takes some milliseconds.
      onWrite: run % 2 === 0 ? null : random.between(0, 8),
    });
    scenario.check(folder, before);
    kills.runs++;
    kills[killed ? moment(before, filesIn(folder)) : "tooLate"]++;
    clearLeftovers(folder);
  }
  return kills;
}

function moment(before: Files, now: Files): "before" | "during" | "after" {
  if (Object.keys(now).some(isLeftover)) return "during";
  return Object.keys(now).some((name) => now[name] !== before[name]) ? "after" : "before";
}

async function killOnce(
  bin: string,
  argv: string[],
  cwd: string,
  { atMs, onWrite }: { atMs: number; onWrite: number | null },
): Promise<boolean> {
  const child = spawn(bin, argv, { cwd, stdio: "ignore" });
  const kill = (): void => void child.kill("SIGKILL");
  let watcher: FSWatcher | null = null;
  let timer: NodeJS.Timeout | undefined;
  if (onWrite === null) timer = setTimeout(kill, atMs);
  else watcher = watch(cwd, () => (timer ??= setTimeout(kill, onWrite)));
  const signal = await new Promise<string | null>((done) => child.on("exit", (_, by) => done(by)));
  clearTimeout(timer);
  watcher?.close();
  return signal === "SIGKILL";
}

/** As a user may do at any time; the cache goes too, so that the next run writes it again. */
function clearLeftovers(folder: string): void {
  for (const name of Object.keys(filesIn(folder))) if (isLeftover(name)) rmSync(join(folder, name));
  rmSync(join(folder, ".ringwright-cache"), { recursive: true, force: true });
}
