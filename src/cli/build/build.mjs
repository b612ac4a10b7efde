// Builds what a fresh clone needs to run: the bin, and the two scripts that an HTML report carries.
// Runs on `npm ci` (prepare) and `npm run build`; tests call build() with a folder of their own.
import { chmod, copyFile, mkdir, readdir, rm } from "node:fs/promises";
import { dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import * as esbuild from "esbuild";

const root = resolve(dirname(fileURLToPath(import.meta.url)), "../../..");

/** CommonJS packages inside an ES module bundle still call require for Node's own modules. */
const REQUIRE = `import { createRequire as ringwrightCreateRequire } from "node:module";
const require = ringwrightCreateRequire(import.meta.url);`;

/**
 * @param {string} outdir folder for the result; it must lie inside the project, so that the decoders resolve
 */
export async function build(outdir = join(root, "dist")) {
  await mkdir(outdir, { recursive: true });
  const old = (await readdir(outdir)).filter((name) => name.endsWith(".mjs"));
  const [written] = await Promise.all([buildBin(outdir), buildReportScripts(join(outdir, "report-scripts"))]);
  // Chunks carry hashes in their names; those of an earlier build go once the new ones are there.
  const fresh = new Set(written);
  await Promise.all(
    old.filter((name) => !fresh.has(resolve(outdir, name))).map((name) => rm(join(outdir, name))),
  );
  await chmod(join(outdir, "ringwright.mjs"), 0o755);
}

/**
 * One ES module a lazily imported part, so that starting up loads only the parser of the command line.
 * The pool stays outside because its threads start from its own file. Decoders stay outside: they carry their WebAssembly themselves and are imported only for their format.
 */
async function buildBin(outdir) {
  const result = await esbuild.build({
    entryPoints: {
      ringwright: join(root, "src/cli/bin.ts"),
      // What the threads of a pool run.
      "series-worker": join(root, "src/cli/commands/series-worker.ts"),
      "tap-worker": join(root, "src/cli/tap-worker.ts"),
    },
    outdir,
    outExtension: { ".js": ".mjs" },
    chunkNames: "[name]-[hash]",
    bundle: true,
    splitting: true,
    format: "esm",
    platform: "node",
    target: "node20",
    external: ["@wasm-audio-decoders/*", "mpg123-decoder", "ogg-opus-decoder", "tinypool"],
    banner: { js: REQUIRE },
    legalComments: "eof",
    metafile: true,
    logLevel: "warning",
    absWorkingDir: root,
  });
  return Object.keys(result.metafile.outputs).map((path) => resolve(root, path));
}

/** What the browser runs inside a report: chart.js as it is published, and our client as one plain script. */
async function buildReportScripts(outdir) {
  await mkdir(outdir, { recursive: true });
  await copyFile(join(root, "node_modules/chart.js/dist/chart.umd.min.js"), join(outdir, "chart.js"));
  await esbuild.build({
    entryPoints: { client: join(root, "src/report/client/main.ts") },
    outdir,
    bundle: true,
    minify: true,
    format: "iife",
    platform: "browser",
    target: "es2022",
    charset: "utf8",
    logLevel: "warning",
    absWorkingDir: root,
  });
}

if (process.argv[1] && resolve(process.argv[1]) === fileURLToPath(import.meta.url)) await build();
