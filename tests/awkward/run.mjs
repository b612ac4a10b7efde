// node tests/awkward/run.mjs [--bells COUNT] [--only SCENE,...] [--seed N] [--list] [--write FOLDER]: bundles the scenes and runs them.
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { bundle } from "../support/bundle.mjs";

const here = dirname(fileURLToPath(import.meta.url));
const outdir = await bundle("ringwright-awkward", [join(here, "main.ts")], ["wasm-media-encoders"]);
const { main } = await import(join(outdir, "main.mjs"));
process.exitCode = await main(process.argv.slice(2));
