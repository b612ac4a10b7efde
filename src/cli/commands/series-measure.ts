import { join, resolve } from "node:path";
import type { Profile } from "../../bell/index.ts";
import type { FailedRecording, SeriesFile } from "../../series/index.ts";
import type { Context } from "../context.ts";
import { EXIT, explainError, worstStatus } from "../exit.ts";
import { shownName } from "../inputs.ts";
import { unwritable } from "../outputs.ts";
import { startPool, usefulThreads, workerFile } from "../pool.ts";
import { CACHE_FOLDER, SeriesCache } from "./series-cache.ts";
import { type Job, type JobResult, measureJob } from "./series-job.ts";

export interface MeasuredSeries {
  /** For each bell its passes. */
  passes: JobResult[][];
  failed: FailedRecording[];
  /** The worst status of the recordings that failed. */
  status: number;
}

/**
 * Measures what is new of a series: passes whose recordings were measured before, by this version of the method, come from
 * the folder beside the file. Each result is kept as soon as it is there, so a run that is killed loses only what was
 * being measured.
 *
 * @param folder where the series file lies; its recordings are named from there
 * @param workers threads at most; null for one a core
 */
export async function measureSeries(
  file: SeriesFile,
  profile: Profile,
  folder: string,
  workers: number | null,
  context: Context,
): Promise<MeasuredSeries> {
  const jobs = file.bells.flatMap((bell) =>
    bell.passes.map(
      (pass, i): Job => ({
        paths: pass.recordings.map((name) => resolve(folder, name)),
        options: {
          label: bell.passes.length > 1 ? `${bell.name}, pass ${i + 1}` : bell.name,
          a4Hz: file.a4Hz,
          profile: profile.id,
          ridges: null,
          pins: {},
        },
        profile,
      }),
    ),
  );
  const results = await measureNew(jobs, join(folder, CACHE_FOLDER), workers, context);
  let at = 0;
  const passes = file.bells.map((bell) => bell.passes.map(() => results[at++]!));
  const failed: FailedRecording[] = [];
  let status: number = EXIT.measured;
  file.bells.forEach((bell, b) => {
    bell.passes.forEach(({ recordings }, p) => {
      for (const failure of passes[b]![p]!.failed) {
        failed.push({ recording: recordings[failure.index]!, reason: failure.reason });
        status = worstStatus(status, failure.status);
      }
    });
  });
  return { passes, failed, status };
}

/** How the system refuses to write into a folder that may be read: a card locked, a folder of somebody else's. */
const READ_ONLY = ["EACCES", "EPERM", "EROFS"];

/** Results of jobs, in their order; two jobs with the same recordings are measured once. */
export async function measureNew(
  jobs: readonly Job[],
  cacheFolder: string,
  workers: number | null,
  context: Context,
): Promise<JobResult[]> {
  const { METHOD } = await import("../../tap/index.ts");
  const cache = new SeriesCache(cacheFolder, METHOD);
  const keeps = await cache.open().then(
    () => true,
    (error: NodeJS.ErrnoException) => {
      if (!READ_ONLY.includes(error.code ?? "")) throw unwritable(cacheFolder, error);
      return false;
    },
  );
  if (!keeps) {
    await context.say(
      `nothing can be kept in ${cacheFolder}, so what is not there yet is measured anew each time; copy the files to a folder of yours to spare that`,
    );
  }
  const results = new Map<string, JobResult>();
  const fresh = new Map<string, Job>();
  const keys: string[] = [];
  for (const [i, job] of jobs.entries()) {
    context.progress.show(`looking for what is new (${i + 1} of ${jobs.length})`);
    const key = (await cache.keyOf(job)) ?? `unreadable ${i}`;
    keys.push(key);
    if (results.has(key) || fresh.has(key)) continue;
    const kept = key.startsWith("unreadable") ? null : await cache.read(key, job);
    if (kept) results.set(key, kept);
    else fresh.set(key, job);
  }
  await forEachFresh(fresh, workers, context, async (key, result) => {
    results.set(key, result);
    if (keeps && !key.startsWith("unreadable")) await cache.write(key, result);
  });
  return keys.map((key, i) => named(results.get(key)!, jobs[i]!));
}

/** The result under the names that its recordings have now. */
function named(result: JobResult, { paths, options }: Job): JobResult {
  const { measurement } = result;
  if (measurement === null || measurement.recordings.length !== paths.length) return result;
  const recordings = measurement.recordings.map((each, i) => ({ ...each, file: shownName(paths[i]!) }));
  const labelled = { ...measurement.options, label: options.label };
  return {
    ...result,
    measurement: { ...measurement, options: labelled, recordings, recording: recordings[0]! },
  };
}

type Taken = (key: string, result: JobResult) => Promise<void>;

async function forEachFresh(
  fresh: ReadonlyMap<string, Job>,
  workers: number | null,
  context: Context,
  take: Taken,
): Promise<void> {
  const worker = workerFile("series-worker");
  const paths = [...fresh.values()].flatMap((job) => job.paths);
  const threads = Math.min(workers ?? (await usefulThreads(paths, context.io.cwd)), fresh.size);
  if (worker === null || threads < 2) return oneByOne(fresh, context, take);
  const pool = await startPool(worker, threads);
  const estimate = timeLeft(fresh.size);
  let done = 0;
  context.progress.show(`measuring ${fresh.size} passes on ${threads} cores`);
  try {
    await Promise.all(
      [...fresh].map(async ([key, job]) => {
        const result = await pool.run(job).catch((error): JobResult => failedJob(job, error));
        await take(key, result);
        done++;
        context.progress.show(
          `measured ${done} of ${fresh.size} passes on ${threads} cores${estimate(done)}`,
        );
      }),
    );
  } finally {
    await pool.destroy();
  }
}

async function oneByOne(fresh: ReadonlyMap<string, Job>, context: Context, take: Taken): Promise<void> {
  const estimate = timeLeft(fresh.size);
  let done = 0;
  for (const [key, job] of fresh) {
    const names = job.paths.map(shownName).join(", ");
    context.progress.showBeforeLongStep(`measuring ${done + 1} of ${fresh.size}${estimate(done)}: ${names}`);
    await take(key, await measureJob(job, context.engine));
    done++;
  }
}

/** A thread that died takes its job with it, not the others. */
function failedJob({ paths }: Job, error: unknown): JobResult {
  const { status, sentence } = explainError(error);
  return { measurement: null, failed: paths.map((_, index) => ({ index, reason: sentence, status })) };
}

/** How long the rest will take by what is done so far, in words. */
function timeLeft(count: number): (done: number) => string {
  const startedMs = Date.now();
  return (done) => {
    if (done === 0 || done === count) return "";
    const leftS = ((Date.now() - startedMs) / 1000 / done) * (count - done);
    return leftS < 90 ? `, about ${Math.ceil(leftS)} s left` : `, about ${Math.round(leftS / 60)} min left`;
  };
}
