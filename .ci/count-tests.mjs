// Prints "N passed, N failed" for a result of vitest's JSON reporter; a file that could not be loaded counts as one
// failure, and so does a run without a result or without a test. Exit status 1 on any failure.
import { readFileSync } from "node:fs";

/** @param {{ testResults: { status: string, assertionResults: { status: string }[] }[] }} result */
export function count(result) {
  const tests = result.testResults.flatMap((file) => file.assertionResults);
  const of = (...statuses) => tests.filter((test) => statuses.includes(test.status)).length;
  const unloaded = result.testResults.filter(
    (file) => file.status === "failed" && !file.assertionResults.some((test) => test.status === "failed"),
  ).length;
  const passed = of("passed");
  const failed = of("failed") + unloaded + (tests.length === 0 ? 1 : 0);
  return { passed, failed, skipped: of("skipped", "pending", "todo", "disabled") };
}

function main(path) {
  let counts = { passed: 0, failed: 1, skipped: 0 };
  try {
    counts = count(JSON.parse(readFileSync(path, "utf8")));
  } catch (error) {
    console.log(`no test result could be read (${error.message})`);
  }
  const skipped = counts.skipped > 0 ? `, ${counts.skipped} skipped` : "";
  console.log(`${counts.passed} passed, ${counts.failed} failed${skipped}`);
  process.exitCode = counts.failed > 0 ? 1 : 0;
}

if (process.argv[2]) main(process.argv[2]);
