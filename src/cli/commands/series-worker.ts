import { lazyEngine } from "../engine.ts";
import { silenceLibraries } from "../io.ts";
import { type Job, type JobResult, measureJob } from "./series-job.ts";

silenceLibraries(process.env);

/** What a thread of the pool runs; the build gives it a file of its own. */
export default (job: Job): Promise<JobResult> => measureJob(job, lazyEngine);
