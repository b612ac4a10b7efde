import type { Tinypool } from "tinypool";
import type { Profile } from "../bell/index.ts";
import type { TapMeasurement, TapOptions } from "../measurement/index.ts";
import {
  assembleTap,
  chooseStrikes,
  type ExaminedRecording,
  type FittedStrike,
  type StrikePlace,
  strikeAudio,
  strikesToFit,
} from "../tap/index.ts";
import type { Context } from "./context.ts";
import { CliError } from "./exit.ts";
import { startPool } from "./pool.ts";
import { type Opener, openerOf, type TapJob, type TapJobDone, type TapJobResult } from "./tap-job.ts";

/** A recording on disk. */
export interface RecordingFile {
  /** As the user wrote it, and whole. */
  path: string;
  fullPath: string;
}

/** Of each recording what was found in it, or the error; in the order given. */
export type Examination = { done: TapJobDone } | { error: CliError };

/** Threads that look through recordings and fit strikes; the results do not depend on how many they are. */
export class TapThreads {
  private readonly pool: Promise<Tinypool>;
  private readonly context: Context;
  private readonly open: Opener;
  /** What has been asked to be looked through, by the file. */
  private readonly examinations = new Map<string, Promise<Examination>>();

  constructor(workerFile: string, threads: number, context: Context) {
    this.pool = startPool(workerFile, threads);
    this.context = context;
    this.open = openerOf((source) => context.engine.openRecording(source));
  }

  /** Looks through recordings, several at once and each once, and fits the best strike of each. Never rejects. */
  async examine(files: RecordingFile[]): Promise<Examination[]> {
    const { progress } = this.context;
    let count = 0;
    progress.show(`reading ${files.length} recordings`);
    return Promise.all(
      files.map(async (file) => {
        const examination = await this.examineOnce(file);
        progress.show(`read ${++count} of ${files.length} recordings`);
        return examination;
      }),
    );
  }

  private examineOnce(file: RecordingFile): Promise<Examination> {
    const known = this.examinations.get(file.fullPath);
    if (known !== undefined) return known;
    const examination = this.run({ ...file, examined: null, strikes: null }).then(
      (result): Examination => ("done" in result ? result : { error: errorOf(result) }),
    );
    this.examinations.set(file.fullPath, examination);
    return examination;
  }

  /** Fits strikes of examined recordings, several at once. @throws CliError */
  async fit(
    files: RecordingFile[],
    examined: ExaminedRecording[],
    places: StrikePlace[],
  ): Promise<FittedStrike[]> {
    const { progress } = this.context;
    let count = 0;
    progress.show(`measuring ${places.length} strikes`);
    return Promise.all(
      places.map(async ({ recording, strike }) => {
        const result = await this.run({
          ...files[recording],
          examined: examined[recording],
          strikes: [strike],
        });
        if ("failed" in result) throw errorOf(result);
        progress.show(`measured ${++count} of ${places.length} strikes`);
        return { recording, strike, fit: result.done.fits[0].fit };
      }),
    );
  }

  /** Fits what is still to be fitted and makes the measurement. @throws NotMeasurableError, CliError */
  async measure(
    files: RecordingFile[],
    done: TapJobDone[],
    options: TapOptions,
    profile: Profile | null,
  ): Promise<TapMeasurement> {
    const examined = done.map((each) => each.examined);
    const places = strikesToFit(examined);
    const known = ({ recording, strike }: StrikePlace) =>
      done[recording].fits.find((each) => each.strike === strike)?.fit;
    const missing = places.filter((place) => known(place) === undefined);
    const fitted = await this.fit(files, examined, missing);
    const fits = places.map((place): FittedStrike => {
      const fit = known(place);
      return fit === undefined ? fitted[missing.indexOf(place)] : { ...place, fit };
    });
    const chosen = chooseStrikes(examined, fits);
    const best = chosen.used[0];
    const { fullPath, path } = files[best.recording];
    const audio = strikeAudio(await this.open(fullPath, path), examined[best.recording], best.strike);
    return assembleTap(examined, chosen, audio, options, profile);
  }

  /** Ends the threads; what they were doing is lost. */
  async end(): Promise<void> {
    await (await this.pool).destroy();
  }

  private async run(job: TapJob): Promise<TapJobResult> {
    try {
      return await (await this.pool).run(job);
    } catch (error) {
      // The thread itself died, most likely for want of memory.
      const reason = error instanceof Error ? error.message : String(error);
      const sentence = `${job.path}: a thread that was measuring it ended (${reason}); try again with --workers 1`;
      return { failed: { status: 70, sentence, stack: undefined } };
    }
  }
}

function errorOf({
  failed,
}: {
  failed: { status: number; sentence: string; stack: string | undefined };
}): CliError {
  const error = new CliError(failed.sentence, failed.status);
  if (failed.stack !== undefined) error.stack = failed.stack;
  return error;
}
