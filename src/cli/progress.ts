import { Worker } from "node:worker_threads";
import type { Io } from "./io.ts";

/** A progress line appears once the work has taken this long. */
const PATIENCE_MS = 1000;
const CLEAR_LINE = "\r\u001b[K";

export interface Progress {
  /** Says what is being done now; drawn only on a terminal and only after a second of work. */
  show(text: string): void;
  /** The same before work that holds this thread for long, during which no timer can fire. */
  showBeforeLongStep(text: string): void;
  /** Takes the line off the screen, before anything else is written or at the end. */
  clear(): void;
}

/** One line on stderr, redrawn in place. Long names are cut to the width of the terminal. */
export function createProgress(stderr: Io["stderr"], enabled: boolean, nowMs: () => number): Progress {
  if (!enabled) return { show: () => {}, showBeforeLongStep: () => {}, clear: () => {} };
  const startedMs = nowMs();
  let drawn = false;
  /** Gives up the line that is still to come; true when it had been drawn already. */
  let recall: () => boolean = () => false;

  const lineOf = (text: string): string => {
    const width = (stderr.columns || 80) - 1;
    return `${CLEAR_LINE}${text.length > width ? `${text.slice(0, width - 1)}…` : text}`;
  };
  const begin = (text: string, later: (line: string, waitMs: number) => () => boolean): void => {
    drawn = recall() || drawn;
    recall = () => false;
    const waitMs = startedMs + PATIENCE_MS - nowMs();
    if (waitMs > 0) {
      recall = later(lineOf(text), waitMs);
      return;
    }
    stderr.write(lineOf(text));
    drawn = true;
  };
  return {
    show: (text) =>
      begin(text, (line, waitMs) => {
        let done = false;
        const timer = setTimeout(() => {
          stderr.write(line);
          done = true;
        }, waitMs).unref();
        return () => {
          clearTimeout(timer);
          return done;
        };
      }),
    showBeforeLongStep: (text) => begin(text, drawFromAnotherThread),
    clear() {
      drawn = recall() || drawn;
      recall = () => false;
      if (drawn) stderr.write(CLEAR_LINE);
      drawn = false;
    },
  };
}

const WAITING = 0;
const DRAWN = 1;
const RECALLED = 2;

/** Runs in the other thread: sleeps, and draws unless the line was recalled meanwhile. Plain text, so that no file is needed. */
const SLEEPER = `
const { workerData } = require("node:worker_threads");
const { state, line, waitMs } = workerData;
const slept = Atomics.wait(state, 0, ${WAITING}, waitMs);
if (slept === "timed-out" && Atomics.compareExchange(state, 0, ${WAITING}, ${DRAWN}) === ${WAITING}) {
  require("node:fs").writeSync(2, line);
}`;

function drawFromAnotherThread(line: string, waitMs: number): () => boolean {
  const state = new Int32Array(new SharedArrayBuffer(4));
  const worker = new Worker(SLEEPER, { eval: true, workerData: { state, line, waitMs } });
  worker.unref();
  worker.on("error", () => {});
  return () => {
    const was = Atomics.compareExchange(state, 0, WAITING, RECALLED);
    Atomics.notify(state, 0);
    return was === DRAWN;
  };
}
