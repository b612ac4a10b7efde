import { mkdirSync } from "node:fs";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

/** The folder of the project. */
export const ROOT = resolve(fileURLToPath(import.meta.url), "../../..");

/**
 * Bundles scripts of the tests, so that Node runs them, to modules of the same names.
 *
 * @param name of the folder that they go to
 * @param entryPoints paths of TypeScript files
 * @param external packages that load files of their own
 * @returns the folder: inside the project, so that the packages that stay outside the bundle are found
 */
export async function bundle(name, entryPoints, external) {
  const outdir = join(ROOT, "node_modules/.cache", name);
  mkdirSync(outdir, { recursive: true });
  await build({
    entryPoints,
    outdir,
    outExtension: { ".js": ".mjs" },
    bundle: true,
    splitting: true,
    platform: "node",
    format: "esm",
    target: "node20",
    sourcemap: "inline",
    external: ["@wasm-audio-decoders/*", "mpg123-decoder", "ogg-opus-decoder", ...external],
    logLevel: "warning",
    // CommonJS packages inside an ES module bundle call require.
    banner: {
      js: 'import { createRequire as nodeRequire } from "node:module"; const require = nodeRequire(import.meta.url);',
    },
  });
  return outdir;
}
