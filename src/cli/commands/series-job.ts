import type { Profile } from "../../bell/index.ts";
import type { TapMeasurement, TapOptions } from "../../measurement/index.ts";
import type { Engine, NamedRecording } from "../engine.ts";
import { EXIT, explainError } from "../exit.ts";
import { fileSource } from "../file-source.ts";
import { shownName } from "../inputs.ts";
import { isSaved } from "../saved.ts";

/** One pass of one bell to be measured: plain data, so that it can go to another thread. */
export interface Job {
  /** Absolute paths, pooled as strikes of one casting. */
  paths: string[];
  options: TapOptions;
  profile: Profile;
}

/** A recording of a job that came to nothing, and why. */
export interface JobFailure {
  /** Index into `paths`. */
  index: number;
  reason: string;
  status: number;
}

export interface JobResult {
  /** null where none of the recordings could be measured. */
  measurement: TapMeasurement | null;
  failed: JobFailure[];
}

type JobEngine = Pick<Engine, "openRecording" | "measureTap">;

/** Measures what can be measured of a pass; a bad recording is told in the result and the others go on. Never throws. */
export async function measureJob(job: Job, engine: JobEngine): Promise<JobResult> {
  const failed: JobFailure[] = [];
  const fail = (index: number, error: unknown) => {
    const { status, sentence } = explainError(error);
    failed.push({ index, reason: sentence, status });
  };
  const inputs: (NamedRecording & { index: number })[] = [];
  for (const [index, path] of job.paths.entries()) {
    try {
      const source = fileSource(path, path);
      if (isSaved(source) && job.paths.length === 1)
        return { measurement: await saved(source.readAt(0, source.byteLength)), failed };
      inputs.push({ index, file: shownName(path), recording: await engine.openRecording(source) });
    } catch (error) {
      fail(index, error);
    }
  }
  if (inputs.length === 0) return { measurement: null, failed };
  try {
    const measurement = await engine.measureTap(inputs, job.options, job.profile);
    for (const [i, { index }] of inputs.entries()) {
      if (measurement.strikes.some(({ recording }) => recording === i)) continue;
      failed.push({ index, reason: "no strike was found in it", status: EXIT.notMeasurable });
    }
    return { measurement, failed };
  } catch (error) {
    for (const { index } of inputs) fail(index, error);
    return { measurement: null, failed };
  }
}

/** A measurement that `tap --json` saved stands for its recordings. */
async function saved(bytes: Uint8Array): Promise<TapMeasurement> {
  const { readTapJson } = await import("../../measurement/index.ts");
  return readTapJson(new TextDecoder().decode(bytes));
}
