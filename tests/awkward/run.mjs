// node tests/awkward/run.mjs [--bells COUNT] [--only SCENE,...] [--seed N] [--list] [--write FOLDER]: bundles the scenes and runs them.
import { mkdirSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
// Inside the project, so that coder and decoder, which stay outside the bundle, are found.
const outdir = join(resolve(here, "../.."), "node_modules/.cache/ringwright-awkward");
mkdirSync(outdir, { recursive: true });
await build({
  entryPoints: [join(here, "main.ts")],
  outdir,
  outExtension: { ".js": ".mjs" },
  bundle: true,
  splitting: true,
  platform: "node",
  format: "esm",
  target: "node20",
  external: ["@wasm-audio-decoders/*", "mpg123-decoder", "ogg-opus-decoder", "wasm-media-encoders"],
  logLevel: "warning",
  banner: {
    js: 'import { createRequire as nodeRequire } from "node:module"; const require = nodeRequire(import.meta.url);',
  },
});
const { main } = await import(join(outdir, "main.mjs"));
process.exitCode = await main(process.argv.slice(2));
