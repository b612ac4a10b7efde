import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { createProgress } from "../../src/cli/progress.ts";
import { Sink } from "./harness.ts";

describe("createProgress", () => {
  beforeEach(() => void vi.useFakeTimers());
  afterEach(() => void vi.useRealTimers());
  const make = (enabled = true) => {
    const stderr = new Sink();
    return { stderr, progress: createProgress(stderr, enabled, Date.now) };
  };

  it("createProgress(disabled) never writes", () => {
    const { stderr, progress } = make(false);
    progress.show("reading");
    vi.advanceTimersByTime(10_000);
    progress.clear();
    expect(stderr.text).toBe("");
  });

  it("createProgress() says nothing of work that takes less than a second", () => {
    const { stderr, progress } = make();
    progress.show("reading");
    vi.advanceTimersByTime(999);
    progress.clear();
    vi.advanceTimersByTime(10_000);
    expect(stderr.text).toBe("");
  });

  it("createProgress() draws the latest step once a second has passed, and each one after it", () => {
    const { stderr, progress } = make();
    progress.show("first");
    vi.advanceTimersByTime(600);
    progress.show("second");
    vi.advanceTimersByTime(400);
    progress.show("third");
    expect(stderr.text).toBe("\r\u001b[Ksecond\r\u001b[Kthird");
    progress.clear();
    expect(stderr.text.endsWith("third\r\u001b[K")).toBe(true);
  });

  it("createProgress() cuts a long line to the terminal's width", () => {
    const { stderr, progress } = make();
    vi.advanceTimersByTime(2000);
    progress.show("x".repeat(200));
    expect(stderr.text).toBe(`\r\u001b[K${"x".repeat(78)}…`);
  });
});
