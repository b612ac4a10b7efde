// node tests/bench/run.mjs [--quick] [--bells COUNT] [--only TABLE,...] or --wav FOLDER: bundles the bench to a temporary file and runs it.
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const here = dirname(fileURLToPath(import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "bench-"));
const script = join(folder, "bench.mjs");
const root = JSON.stringify(join(here, "..", ".."));
try {
  await build({
    stdin: {
      contents: `import { main } from "./bench.ts"; await main(process.argv.slice(2), process.argv[1], ${root});`,
      resolveDir: here,
    },
    bundle: true,
    platform: "node",
    format: "esm",
    target: "node20",
    outfile: script,
    logLevel: "warning",
    // CommonJS packages inside an ES module bundle call require.
    banner: {
      js: 'import { createRequire } from "node:module"; const require = createRequire(import.meta.url);',
    },
  });
  const { status } = spawnSync(process.execPath, [script, ...process.argv.slice(2)], { stdio: "inherit" });
  process.exitCode = status ?? 1;
} finally {
  rmSync(folder, { recursive: true });
}
