import type fc from "fast-check";

/** What became of a case that went as it must. */
export interface Verdict {
  /** Taken and used, or refused with one sentence. */
  outcome: "accepted" | "refused";
  /** Bytes that the case may cost in proportion to: those given, and those of the samples or numbers made of them. */
  weightBytes: number;
}

/** What a case may cost; how each number was come by stands beside it. */
export interface Limits {
  cpuMs: number;
  cpuMsPerMegabyte: number;
  memoryBytes: number;
  memoryPerByte: number;
}

/** One thing that is fuzzed. */
export interface Target<Input> {
  name: string;
  /** In a few words, for the table. */
  what: string;
  /** Cases of every thousand. */
  share: number;
  limits: Limits;
  /** Plain data, so that a case can be saved; bytes as Uint8Array. */
  cases: fc.Arbitrary<Input>;
  /** Runs one case; throws where its outcome is not allowed. */
  check(input: Input): Promise<Verdict>;
}

export class OutcomeError extends Error {
  override name = "OutcomeError";
}
