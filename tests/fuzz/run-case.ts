import fc from "fast-check";
import { peakBytes, startPeak } from "./peak.ts";
import { OutcomeError, type Target, type Verdict } from "./target.ts";

/** Where a case stands: the same seed and number give the same case on every machine. */
export function seedOf(seed: number, target: string, index: number): number {
  let hash = 0x811c9dc5 ^ seed;
  for (const part of [target, String(index)]) {
    for (let i = 0; i < part.length; i++) hash = Math.imul(hash ^ part.charCodeAt(i), 0x01000193);
    hash = Math.imul(hash ^ (hash >>> 15), 0x2c1b3c6d);
    hash ^= hash >>> 13;
  }
  return hash | 0;
}

/** The input of a case, without running it. */
export function caseOf(target: Target<unknown>, seed: number, index: number): unknown {
  return fc.sample(target.cases, { seed: seedOf(seed, target.name, index), numRuns: 1 })[0];
}

export interface CaseResult {
  outcome: "accepted" | "refused" | "failed";
  /** Of a failed case, made as small as it could be in the time given. */
  input?: unknown;
  why?: string;
}

/** How long a failing case may be made smaller. */
const SHRINK_MS = 30_000;

/** Runs a case within its limits; one that fails is made smaller while it still fails. */
export async function runCase(target: Target<unknown>, seed: number, index: number): Promise<CaseResult> {
  const input = caseOf(target, seed, index);
  try {
    return { outcome: (await runWithin(target, input)).outcome };
  } catch (error) {
    return { outcome: "failed", ...(await smaller(target, seed, index, input, error)) };
  }
}

async function smaller(target: Target<unknown>, seed: number, index: number, input: unknown, error: unknown) {
  const property = fc.asyncProperty(target.cases, async (each) => void (await runWithin(target, each)));
  const { counterexample, errorInstance } = await fc.check(property, {
    seed: seedOf(seed, target.name, index),
    numRuns: 1,
    interruptAfterTimeLimit: SHRINK_MS,
  });
  const cause = counterexample === null ? error : errorInstance;
  return {
    input: counterexample?.[0] ?? input,
    why: cause instanceof Error ? (cause.stack ?? cause.message) : String(cause),
  };
}

/** Runs one input and holds it to the limits of its target, processor time first. */
export async function runWithin(target: Target<unknown>, input: unknown): Promise<Verdict> {
  const { limits } = target;
  const before = startPeak();
  const started = process.cpuUsage();
  const verdict = await target.check(input);
  const { user, system } = process.cpuUsage(started);
  const cpuMs = (user + system) / 1000;
  const most = limits.cpuMs + (limits.cpuMsPerMegabyte * verdict.weightBytes) / 2 ** 20;
  if (cpuMs > most)
    throw new OutcomeError(`it took ${Math.round(cpuMs)} ms where ${Math.round(most)} are allowed`);
  const grown = peakBytes() - before;
  const mostBytes = limits.memoryBytes + limits.memoryPerByte * verdict.weightBytes;
  if (grown > mostBytes) {
    throw new OutcomeError(
      `it took ${(grown / 2 ** 20).toFixed(0)} MiB where ${(mostBytes / 2 ** 20).toFixed(0)} are allowed`,
    );
  }
  return verdict;
}
