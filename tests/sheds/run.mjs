// node tests/sheds/run.mjs [--only KIND,...] [--seeds N] [--seed S] [--workers N] [--json FILE] [--compare OLD.json] [--write FOLDER]
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { bundle } from "../support/bundle.mjs";

const here = dirname(fileURLToPath(import.meta.url));
const outdir = await bundle("ringwright-sheds", [join(here, "main.ts"), join(here, "job.ts")], []);
const { main } = await import(join(outdir, "main.mjs"));
process.exitCode = await main(process.argv.slice(2), join(outdir, "job.mjs"));
