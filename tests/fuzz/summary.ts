import type { RunState } from "./state.ts";
import type { Target } from "./target.ts";
import type { Failure } from "./worker.ts";

const LONGEST_INPUT = 4000;

/** What is printed of a failure: the minimal case, and how to meet it again. */
export function failureText({ target, index, why, input }: Failure, seed: number): string {
  const text = input === null ? "not known: the process died" : JSON.stringify(input);
  const shown = text.length > LONGEST_INPUT ? `${text.slice(0, LONGEST_INPUT)}...` : text;
  return `\nFAILED ${target}, seed ${seed}, case ${index}\n${why.split("\n").slice(0, 8).join("\n")}\ninput: ${shown}\n`;
}

/** Counts by target, as a table for docs/robustness.md. */
export function summaryTable({ targets }: RunState, all: readonly Target<unknown>[]): string {
  const rows = all
    .filter(({ name }) => targets[name] !== undefined)
    .map(({ name, what }) => {
      const { done, accepted, refused, cpuS, failures } = targets[name]!;
      return [name, what, done, accepted, refused, failures.length, Math.round(done / Math.max(cpuS, 0.001))];
    });
  const sum = (column: number) => rows.reduce((total, row) => total + Number(row[column]), 0);
  const head = ["target", "what", "cases", "taken", "refused", "failures", "a second of processor time"];
  const total = ["all", "", sum(2), sum(3), sum(4), sum(5), ""];
  return [head, head.map(() => "---"), ...rows, total].map((row) => `| ${row.join(" | ")} |`).join("\n");
}
