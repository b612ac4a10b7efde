// node tests/bench/series-run.mjs [RECORDINGS]: an invented set of 12 bells with 4 passes each, measured by the built
// program with one and with two workers, and again with nothing new; deviations held against the truth.
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { build } from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const recordings = Number(process.argv[2] ?? 200);
const folder = mkdtempSync(join(tmpdir(), "series-"));
try {
  const module = join(folder, "set.mjs");
  await build({
    entryPoints: [join(here, "series-set.ts")],
    bundle: true,
    platform: "node",
    format: "esm",
    target: "node20",
    outfile: module,
    external: ["@wasm-audio-decoders/*", "mpg123-decoder", "ogg-opus-decoder"],
    banner: {
      js: 'import { createRequire } from "node:module"; const require = createRequire(import.meta.url);',
    },
  });
  // The decoders stay outside the bundle and resolve from the project.
  const inside = join(here, "..", "..", "node_modules", ".series-set.mjs");
  writeFileSync(inside, readFileSync(module));
  const { writeSeriesSet } = await import(pathToFileURL(inside).href);
  rmSync(inside);
  const truth = writeSeriesSet(folder, recordings);
  for (const [name, workers, fresh] of [
    ["one worker", 1, true],
    ["two workers", 2, true],
    ["nothing new", 2, false],
  ]) {
    if (fresh) rmSync(join(folder, ".ringwright-cache"), { recursive: true, force: true });
    const start = performance.now();
    const run = spawnSync(
      process.execPath,
      [
        join(here, "..", "..", "dist", "ringwright.mjs"),
        "series",
        join(folder, "row.yaml"),
        "--workers",
        String(workers),
        "--json",
        join(folder, "row.json"),
        "--force",
        "--quiet",
      ],
      { stdio: ["ignore", "ignore", "inherit"] },
    );
    const seconds = (performance.now() - start) / 1000;
    console.log(
      `${name}: exit ${run.status}, ${seconds.toFixed(1)} s, ${(seconds / recordings).toFixed(3)} s a recording`,
    );
  }
  const result = JSON.parse(readFileSync(join(folder, "row.json"), "utf8"));
  let inside95 = 0;
  let all = 0;
  for (const bell of result.bells) {
    bell.passes.forEach((pass, p) => {
      const made = truth.find((t) => t.bell === bell.name && t.pass === p);
      for (const partial of pass.partials) {
        const { value, ci95 } = partial.frequencyHz;
        const nearest = made.frequenciesHz.reduce((a, f) =>
          Math.abs(f - value) < Math.abs(a - value) ? f : a,
        );
        all++;
        if (Math.abs(nearest - value) <= ci95) inside95++;
      }
    });
  }
  const cuts = result.bells.filter((b) => b.nextCut !== null).length;
  console.log(
    `${result.bells.length} bells, ${all} partials, true frequency inside the interval: ${((100 * inside95) / all).toFixed(1)} %; next cut given for ${cuts}; failed ${result.failed.length}`,
  );
} finally {
  rmSync(folder, { recursive: true });
}
