// node tests/mutants/run.mjs src/FOLDER [FILE.ts ...]: mutates a folder against its own tests, or some of its files
// against theirs alone where each has a file of tests. MUTANTS_TESTS names others, with commas between.
import { existsSync } from "node:fs";
import { availableParallelism } from "node:os";
import { Stryker } from "@stryker-mutator/core";

const [folder, ...files] = process.argv.slice(2);
if (!/^src\/[\w-]+$/.test(folder ?? "")) {
  console.error("Usage: npm run mutants -- src/FOLDER [FILE.ts ...]");
  process.exit(2);
}
const name = folder.slice("src/".length);
const own = files.map((file) => `tests/${name}/${file.replace(/\.ts$/, ".test.ts")}`);
// A file's tests may stand in several: tracks.test.ts, tracks-limits.test.ts.
const further = own.map((path) => path.replace(/\.test\.ts$/, "-*.test.ts"));
const tests =
  files.length > 0 && own.every(existsSync) ? [...own, ...further] : [`tests/${name}/**/*.test.ts`];
// Read by vitest.config.ts beside this file, which vitest loads inside Stryker's worker processes.
process.env.MUTANTS_TESTS ??= tests.join();

await new Stryker({
  mutate: files.length > 0 ? files.map((file) => `${folder}/${file}`) : [`${folder}/**/*.ts`],
  concurrency: Math.max(1, Number(process.env.MUTANTS_CONCURRENCY) || Math.floor(availableParallelism() / 2)),
  incrementalFile: `reports/mutants/${name}.json`,
  htmlReporter: { fileName: `reports/mutants/${name}.html` },
}).runMutationTest();
