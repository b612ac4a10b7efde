import type { OpenRecording } from "../audio/index.ts";
import type { ModeFit } from "../partials/index.ts";
import { type ExaminedRecording, examineRecording, fitStrike } from "../tap/index.ts";
import { CliError, explainError } from "./exit.ts";
import { fileSource } from "./file-source.ts";
import { shownName } from "./inputs.ts";
import { ledBy } from "./sentence.ts";

/** Work for another thread, plain data: look through a recording and fit its best strike, or fit some of its strikes. */
export interface TapJob {
  /** As the user wrote it, and whole. */
  path: string;
  fullPath: string;
  /** null: not looked through yet. */
  examined: ExaminedRecording | null;
  /** The strikes to fit, of those that were found; null: the best. */
  strikes: number[] | null;
}

export interface TapJobDone {
  examined: ExaminedRecording;
  /** What the reader had to forgive. */
  warnings: string[];
  fits: { strike: number; fit: ModeFit }[];
}

/** An error that has crossed between threads: one sentence, as the user will read it. */
export interface TapJobFailed {
  status: number;
  sentence: string;
  stack: string | undefined;
}

export type TapJobResult = { done: TapJobDone } | { failed: TapJobFailed };

/** Keeps what was opened last: the strikes of one recording often come to one thread. */
export type Opener = (fullPath: string, path: string) => Promise<OpenRecording>;

/** Does a job; what goes wrong is told in the result. Never throws. */
export async function runTapJob(job: TapJob, open: Opener): Promise<TapJobResult> {
  try {
    const recording = await open(job.fullPath, job.path);
    const examined = job.examined ?? examineRecording(shownName(job.path), recording);
    const strikes = job.strikes ?? (examined.strikes.length > 0 ? [0] : []);
    const fits = strikes.map((strike) => ({ strike, fit: fitStrike(recording, examined, strike) }));
    return { done: { examined, warnings: recording.warnings, fits } };
  } catch (error) {
    const { status, sentence } = explainError(error);
    return {
      failed: {
        status,
        sentence: error instanceof CliError ? sentence : ledBy(job.path, sentence),
        stack: error instanceof Error ? error.stack : undefined,
      },
    };
  }
}

/** Opens files, and keeps the last one. */
export function openerOf(
  openRecording: (source: ReturnType<typeof fileSource>) => Promise<OpenRecording>,
): Opener {
  let last: { fullPath: string; recording: OpenRecording } | null = null;
  return async (fullPath, path) => {
    if (last?.fullPath !== fullPath) {
      last = null;
      last = { fullPath, recording: await openRecording(fileSource(fullPath, path)) };
    }
    return last.recording;
  };
}
