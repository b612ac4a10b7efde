import { openRecording } from "../audio/index.ts";
import { silenceLibraries } from "./io.ts";
import { openerOf, runTapJob, type TapJob, type TapJobResult } from "./tap-job.ts";

silenceLibraries(process.env);

const open = openerOf(openRecording);

/** What a thread of the pool runs; the build gives it a file of its own. */
export default (job: TapJob): Promise<TapJobResult> => runTapJob(job, open);
