import { describe, expect, it } from "vitest";
// @ts-expect-error a plain script without types
import { count } from "../../.ci/count-tests.mjs";

const file = (status: string, ...tests: string[]) => ({
  status,
  assertionResults: tests.map((test) => ({ status: test })),
});

describe("count", () => {
  it("count(result) of no test at all is a failure", () => {
    expect(count({ testResults: [] })).toEqual({ passed: 0, failed: 1, skipped: 0 });
  });

  it("count(result) takes a file that could not be loaded for one failure", () => {
    const result = { testResults: [file("passed", "passed"), file("failed")] };
    expect(count(result)).toEqual({ passed: 1, failed: 1, skipped: 0 });
  });

  it("count(result) counts each test once", () => {
    const result = {
      testResults: [file("failed", "passed", "failed", "skipped"), file("passed", "passed", "todo")],
    };
    expect(count(result)).toEqual({ passed: 2, failed: 1, skipped: 2 });
  });
});
