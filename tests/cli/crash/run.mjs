// node tests/cli/crash/run.mjs [--seed N] [--runs N]: builds the program and kills it N times a scenario.
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { build as bundle } from "esbuild";
import { build } from "../../../src/cli/build/build.mjs";

const here = dirname(fileURLToPath(import.meta.url));
// Inside the project, so that the decoders are found.
const outdir = join(resolve(here, "../../.."), "node_modules/.cache/ringwright-kill");
await build(outdir);
const script = join(outdir, "kill-statistics.mjs");
await bundle({
  entryPoints: [join(here, "statistics.ts")],
  outfile: script,
  bundle: true,
  platform: "node",
  format: "esm",
  target: "node20",
  logLevel: "warning",
  banner: {
    js: 'import { createRequire as nodeRequire } from "node:module"; const require = nodeRequire(import.meta.url);',
  },
});
const { main } = await import(script);
await main(process.argv.slice(2), join(outdir, "ringwright.mjs"));
