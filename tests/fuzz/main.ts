import { mkdirSync } from "node:fs";
import { availableParallelism } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { runPart } from "./part.ts";
import { toPlain } from "./plain.ts";
import { caseOf } from "./run-case.ts";
import { loadState, type RunState, saveState, type TargetState } from "./state.ts";
import { failureText, summaryTable } from "./summary.ts";
import { TARGETS } from "./targets/index.ts";

const USUAL_CASES = 100_000;
/** Cases that one process runs before a new one takes over: what leaks is seen, and cannot pile up. */
const PART = 2500;

/**
 * The long form: every target's share of the cases in child processes, so that a hang or a death of the process is
 * seen for what it is and the rest goes on. State is kept after each step: the same seed goes on where it stopped.
 * With --show N the input of case N is printed instead, which also tells of a case that the process died of.
 *
 * @returns the exit status: 0 where every case went as it must
 */
export async function main(argv: string[], worker: string, folder: string): Promise<number> {
  const { values } = parseArgs({
    args: argv,
    options: {
      seed: { type: "string" },
      cases: { type: "string", default: String(USUAL_CASES) },
      targets: { type: "string" },
      processes: { type: "string", default: String(availableParallelism()) },
      fresh: { type: "boolean", default: false },
      show: { type: "string" },
    },
  });
  const seed = values.seed === undefined ? Date.now() % 2 ** 31 : Number(values.seed);
  const named = values.targets?.split(",") ?? TARGETS.map(({ name }) => name);
  const unknown = named.filter((name) => !TARGETS.some((target) => target.name === name));
  if (unknown.length > 0) throw new Error(`no target ${unknown.join(", ")}`);
  if (values.show !== undefined) {
    const target = TARGETS.find(({ name }) => name === named[0])!;
    console.log(JSON.stringify(toPlain(caseOf(target, seed, Number(values.show)))));
    return 0;
  }
  mkdirSync(folder, { recursive: true });
  const stateFile = join(folder, `seed-${seed}.json`);
  const state = loadState(values.fresh ? null : stateFile, seed);
  console.log(
    `seed ${seed}; stopped, it goes on with: npm run fuzz -- --seed ${seed} --cases ${values.cases}`,
  );

  const parts: { target: string; from: number; to: number }[] = [];
  const shares = TARGETS.reduce((sum, { share }) => sum + share, 0);
  for (const { name, share } of TARGETS.filter((target) => named.includes(target.name))) {
    const wanted = Math.ceil((Number(values.cases) * share) / shares);
    const done = state.targets[name]?.done ?? 0;
    for (let from = done; from < wanted; from += PART) {
      parts.push({ target: name, from, to: Math.min(from + PART, wanted) });
    }
  }
  // One process a target at a time, so that what is done of each is a single number.
  const queues = named.map((name) => parts.filter(({ target }) => target === name));
  const all = parts.reduce((sum, { from, to }) => sum + to - from, 0);
  const began = { cases: casesIn(state), ms: Date.now() };
  const next = async (slot: number): Promise<void> => {
    for (let queue = queues.shift(); queue !== undefined; queue = queues.shift()) {
      for (const part of queue) {
        await runPart({ ...part, seed, markFile: join(folder, `mark-${seed}-${slot}`) }, worker, (step) => {
          const at = state.targets[part.target] ?? emptyTarget();
          state.targets[part.target] = {
            done: step.done,
            accepted: at.accepted + step.accepted,
            refused: at.refused + step.refused,
            cpuS: at.cpuS + step.cpuS,
            failures: [...at.failures, ...step.failures],
          };
          for (const failure of step.failures) console.log(failureText(failure, seed));
          saveState(stateFile, state);
          showProgress(casesIn(state) - began.cases, all, part.target, Date.now() - began.ms);
        });
      }
    }
  };
  await Promise.all(Array.from({ length: Number(values.processes) }, (_, slot) => next(slot)));
  console.log(`\n${summaryTable(state, TARGETS)}`);
  return Object.values(state.targets).some(({ failures }) => failures.length > 0) ? 1 : 0;
}

const emptyTarget = (): TargetState => ({ done: 0, accepted: 0, refused: 0, cpuS: 0, failures: [] });

function casesIn({ targets }: RunState): number {
  return Object.values(targets).reduce((sum, { done }) => sum + done, 0);
}

let shownMs = 0;

function showProgress(done: number, all: number, target: string, ms: number): void {
  if (Date.now() - shownMs < 5000 && done < all) return;
  shownMs = Date.now();
  const leftS = done === 0 ? 0 : ((all - done) * ms) / done / 1000;
  console.log(`${done} of ${all} cases, at ${target}, about ${Math.ceil(leftS / 60)} min left`);
}
