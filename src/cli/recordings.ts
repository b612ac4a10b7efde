import { resolve } from "node:path";
import type { ByteSource, OpenRecording } from "../audio/index.ts";
import type { Profile } from "../bell/index.ts";
import type { TapMeasurement, TapOptions } from "../measurement/index.ts";
import type { Context } from "./context.ts";
import type { FitElsewhere, NamedRecording } from "./engine.ts";
import { EXIT, worstStatus } from "./exit.ts";
import { openInput, shownName, sizeOfFile } from "./inputs.ts";
import type { RecordingFile, TapThreads } from "./on-threads.ts";
import { usefulThreads, workerFile } from "./pool.ts";
import { ledBy } from "./sentence.ts";
import { Twins } from "./twins.ts";

/** What measuring the recordings of one casting came to; all that went wrong has been said. */
export interface MeasuredRecordings {
  /** null where nothing could be measured. */
  measurement: TapMeasurement | null;
  /** The worst exit status met. */
  status: number;
  /** The first of the recordings that were measured. */
  first(): Promise<NamedRecording>;
}

/** Samples over all channels that several recordings may hold in memory together: 256 MiB. */
const MOST_HELD_TOGETHER = 2 ** 26;

/**
 * Threads for the recordings, or null where they would not pay or there are none: one small recording, one core,
 * standard input, a program that was not built.
 *
 * @param workers threads at most; undefined for one a core
 */
export async function threadsFor(
  paths: string[],
  workers: number | undefined,
  context: Context,
): Promise<TapThreads | null> {
  const worker = workerFile("tap-worker");
  if (worker === null || paths.length < 2) return null;
  const threads = Math.min(workers ?? (await usefulThreads(paths, context.io.cwd)), paths.length);
  if (threads < 2) return null;
  for (const path of paths) {
    // What can be read only once is read here.
    const size = await sizeOfFile(path, context.io).catch(() => 0);
    if (size === null) return null;
  }
  const { TapThreads } = await import("./on-threads.ts");
  return new TapThreads(worker, threads, context);
}

export interface ToMeasure {
  paths: string[];
  /** The only recording, where it is open already. */
  opened?: ByteSource | undefined;
  options: TapOptions;
  /** null to have the kind recognised. */
  profile: Profile | null;
  /** Where to do it; null for here. */
  threads: TapThreads | null;
  /** For the strikes of a single long recording: threads at most; undefined for one a core. */
  workers: number | undefined;
}

/**
 * Measures recordings of one casting. A bad one is reported and the rest go on; a byte-for-byte copy is counted once; a
 * recording of which nothing is used is said to be, and counts as one that cannot be measured.
 */
export async function measureRecordings(
  { paths, opened, options, profile, threads, workers }: ToMeasure,
  context: Context,
): Promise<MeasuredRecordings> {
  const found = await openAll(paths, opened, context);
  const read =
    threads === null
      ? await readHere(found.sources, workers, context)
      : await readOnThreads(found.sources, threads, context);
  let status = worstStatus(found.status, read.status);
  const none = { measurement: null, first: () => Promise.reject(new Error("no recording was read")) };
  if (read.files.length === 0) return { ...none, status };
  try {
    const measurement = await read.measure(options, profile);
    await sayNewWarnings(measurement, read.warnings, context);
    status = worstStatus(status, await sayUnused(measurement, context));
    return { measurement, status, first: read.first };
  } catch (error) {
    const where = read.files.length === 1 ? shownName(read.files[0].path) : undefined;
    return { ...none, status: worstStatus(status, await context.fail(error, where)) };
  }
}

interface Opened {
  path: string;
  source: ByteSource;
}

/** Recordings that were read, and how to measure them. */
interface ReadRecordings {
  files: { path: string }[];
  /** What the reader had to forgive in each, which has been said. */
  warnings: string[][];
  status: number;
  measure(options: TapOptions, profile: Profile | null): Promise<TapMeasurement>;
  first(): Promise<NamedRecording>;
}

/** Opens what can be opened, each content once, in order. */
async function openAll(
  paths: string[],
  opened: ByteSource | undefined,
  context: Context,
): Promise<{ sources: Opened[]; status: number }> {
  const sources: Opened[] = [];
  const twins = new Twins();
  let status: number = EXIT.measured;
  for (const [at, path] of paths.entries()) {
    context.progress.show(`reading ${path} (${at + 1} of ${paths.length})`);
    try {
      const source = opened ?? (await openInput(path, context.io));
      const twin = paths.length > 1 ? twins.twinOf(path, source) : undefined;
      if (twin === undefined) sources.push({ path, source });
      else await context.say(`${path}: the same recording as ${twin}, so it is counted once`);
    } catch (error) {
      status = worstStatus(status, await context.fail(error, path));
    }
  }
  return { sources, status };
}

async function readHere(
  sources: Opened[],
  workers: number | undefined,
  context: Context,
): Promise<ReadRecordings> {
  const inputs: NamedRecording[] = [];
  const files: { path: string }[] = [];
  let status: number = EXIT.measured;
  let room = MOST_HELD_TOGETHER;
  for (const { path, source } of sources) {
    try {
      const recording = await open(source, sources.length > 1 ? room : undefined, context);
      room -= recording.held === null ? 0 : recording.sampleCount * recording.channelCount;
      for (const warning of recording.warnings) await context.say(ledBy(path, warning));
      inputs.push({ file: shownName(path), recording });
      files.push({ path });
    } catch (error) {
      status = worstStatus(status, await context.fail(error, path));
    }
  }
  return {
    files,
    warnings: inputs.map(({ recording }) => recording.warnings),
    status,
    first: async () => inputs[0],
    measure(options, profile) {
      context.progress.showBeforeLongStep(`measuring ${inputs.map(({ file }) => file).join(", ")}`);
      const elsewhere = files.length === 1 ? fitElsewhere(files[0].path, workers, context) : undefined;
      return context.engine.measureTap(inputs, options, profile, elsewhere);
    },
  };
}

function open(source: ByteSource, room: number | undefined, { engine }: Context): Promise<OpenRecording> {
  return room === undefined ? engine.openRecording(source) : engine.openRecording(source, Math.max(0, room));
}

async function readOnThreads(
  sources: Opened[],
  threads: TapThreads,
  context: Context,
): Promise<ReadRecordings> {
  const all = sources.map(({ path }): RecordingFile => ({ path, fullPath: resolve(context.io.cwd, path) }));
  const examinations = await threads.examine(all);
  let status: number = EXIT.measured;
  for (const [i, each] of examinations.entries()) {
    if ("error" in each) status = worstStatus(status, await context.fail(each.error));
    else for (const warning of each.done.warnings) await context.say(ledBy(all[i].path, warning));
  }
  const read = all.flatMap((file, i) => {
    const each = examinations[i];
    return "done" in each ? [{ file, source: sources[i].source, done: each.done }] : [];
  });
  const files = read.map(({ file }) => file);
  const done = read.map((each) => each.done);
  return {
    files,
    warnings: done.map(({ warnings }) => warnings),
    status,
    first: async () => ({
      file: shownName(files[0].path),
      recording: await context.engine.openRecording(read[0].source),
    }),
    measure: (options, profile) => threads.measure(files, done, options, profile),
  };
}

/** Fewer strikes, or less sound in them, are fitted before other threads have started. */
const FEWEST_STRIKES = 4;
const LEAST_VALUES = 4e6;

/** Fits the strikes of one recording on threads where that pays; undefined where it never does. */
function fitElsewhere(path: string, workers: number | undefined, context: Context): FitElsewhere | undefined {
  const worker = workers === 1 ? null : workerFile("tap-worker");
  if (worker === null) return undefined;
  return async ([examined], places) => {
    const values = places.reduce((sum, { strike }) => {
      const found = examined.strikes[strike];
      return sum + (found.endSample - found.strike.onsetSample) * examined.channels.length;
    }, 0);
    const isSmall = places.length < FEWEST_STRIKES || values < LEAST_VALUES;
    if (workers === undefined && isSmall) return null;
    if ((await sizeOfFile(path, context.io)) === null) return null;
    const { availableParallelism } = await import("node:os");
    const count = Math.min(workers ?? availableParallelism(), places.length);
    if (count < 2) return null;
    const { TapThreads } = await import("./on-threads.ts");
    const threads = new TapThreads(worker, count, context);
    try {
      return await threads.fit([{ path, fullPath: resolve(context.io.cwd, path) }], [examined], places);
    } finally {
      await threads.end();
    }
  };
}

/** What measuring had to say beyond the reader's warnings, for example of a pin that found no partial. */
async function sayNewWarnings(m: TapMeasurement, said: string[][], context: Context): Promise<void> {
  for (const [i, { file, warnings }] of m.recordings.entries()) {
    for (const warning of warnings) {
      if (!said[i]?.includes(warning)) await context.say(ledBy(file, warning));
    }
  }
}

/** Of several recordings those of which no strike is used: says why, and returns the status that this has. */
async function sayUnused(m: TapMeasurement, context: Context): Promise<number> {
  if (m.recordings.length < 2) return EXIT.measured;
  let status: number = EXIT.measured;
  for (const [i, { file }] of m.recordings.entries()) {
    const strikes = m.strikes.filter(({ recording }) => recording === i);
    if (strikes.some(({ leftOut }) => leftOut === null)) continue;
    status = EXIT.notMeasurable;
    // Where there is no strike at all, that has been said as a warning.
    const reasons = new Set(strikes.map(({ leftOut }) => leftOut));
    if (reasons.size > 0) await context.say(`${file}: left out: ${[...reasons].join("; ")}`);
  }
  return status;
}
