import { describe, expect, it } from "vitest";
import { CliError, explainError, InterruptedError, worstStatus } from "../../src/cli/exit.ts";
import { namedError } from "./harness.ts";

describe("explainError", () => {
  it("explainError(error) gives the status that scripts rely on", () => {
    expect(explainError(new CliError("x")).status).toBe(2);
    expect(explainError(new InterruptedError()).status).toBe(130);
    expect(explainError(namedError("NotMeasurableError", "x")).status).toBe(1);
    expect(explainError(namedError("UnreadableAudioError", "x")).status).toBe(2);
    expect(explainError(new RangeError("x")).status).toBe(70);
    expect(explainError(undefined).status).toBe(70);
  });

  it("explainError(error) never gives more than one line", () => {
    expect(explainError(new Error("a\nb\nc")).sentence).not.toContain("\n");
    expect(explainError(null).sentence).toContain("(null)");
  });
});

describe("worstStatus", () => {
  it("worstStatus() of nothing is 0, else the largest", () => {
    expect(worstStatus()).toBe(0);
    expect(worstStatus(1, 0, 2)).toBe(2);
    expect(worstStatus(2, 70, 1)).toBe(70);
  });
});
