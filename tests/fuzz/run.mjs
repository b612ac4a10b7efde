// node tests/fuzz/run.mjs [--seed N] [--cases N] [--targets A,B] [--processes N] [--fresh]: bundles the fuzzing and runs it.
// docs/robustness.md tells the rest.
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { bundle, ROOT } from "../support/bundle.mjs";

const here = dirname(fileURLToPath(import.meta.url));
const scripts = ["main.ts", "worker.ts"].map((name) => join(here, name));
const outdir = await bundle("ringwright-fuzz", scripts, ["tinypool"]);
const { main } = await import(join(outdir, "main.mjs"));
process.exitCode = await main(process.argv.slice(2), join(outdir, "worker.mjs"), join(ROOT, "reports/fuzz"));
