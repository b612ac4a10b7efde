// node tests/fuzz/run.mjs [--seed N] [--cases N] [--targets A,B] [--processes N] [--fresh]: bundles the fuzzing and runs it.
// docs/robustness.md tells the rest.
import { mkdirSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const root = resolve(here, "../..");
// Inside the project, so that the decoders, which stay outside the bundle, are found.
const outdir = join(root, "node_modules/.cache/ringwright-fuzz");
mkdirSync(outdir, { recursive: true });
await build({
  entryPoints: [join(here, "main.ts"), join(here, "worker.ts")],
  outdir,
  outExtension: { ".js": ".mjs" },
  bundle: true,
  splitting: true,
  platform: "node",
  format: "esm",
  target: "node20",
  sourcemap: "inline",
  external: ["@wasm-audio-decoders/*", "mpg123-decoder", "ogg-opus-decoder", "tinypool"],
  logLevel: "warning",
  banner: {
    js: 'import { createRequire as nodeRequire } from "node:module"; const require = nodeRequire(import.meta.url);',
  },
});
const { main } = await import(join(outdir, "main.mjs"));
process.exitCode = await main(process.argv.slice(2), join(outdir, "worker.mjs"), join(root, "reports/fuzz"));
