// node tests/real/run.mjs FOLDER [--workers N] [--only NAME,...] [--json FILE]: bundles the sources and measures the folder.
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { bundle } from "../support/bundle.mjs";

const here = dirname(fileURLToPath(import.meta.url));
const job = join(here, "../support/measuring/job.ts");
const outdir = await bundle("ringwright-real", [join(here, "main.ts"), job], []);
const { main } = await import(join(outdir, "real/main.mjs"));
process.exitCode = await main(process.argv.slice(2), join(outdir, "support/measuring/job.mjs"));
