import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { build } from "esbuild";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { createProgress } from "../../src/cli/progress.ts";
import { Sink, temporaryFolder } from "./harness.ts";

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
    progress.showBeforeLongStep("measuring");
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
    progress.showBeforeLongStep("fourth");
    expect(stderr.text).toBe("\r\u001b[Ksecond\r\u001b[Kthird\r\u001b[Kfourth");
    progress.clear();
    expect(stderr.text.endsWith("fourth\r\u001b[K")).toBe(true);
  });

  it("createProgress() cuts a long line to the terminal's width", () => {
    const { stderr, progress } = make();
    vi.advanceTimersByTime(2000);
    progress.show("x".repeat(200));
    expect(stderr.text).toBe(`\r\u001b[K${"x".repeat(78)}…`);
    // A terminal that does not know its width says 0.
    stderr.columns = 0;
    progress.show("y".repeat(200));
    expect(stderr.text.endsWith(`${"y".repeat(78)}…`)).toBe(true);
  });
});

describe("showBeforeLongStep", () => {
  /** A process that says "measuring", then holds its only thread for so long. */
  async function busyFor(milliseconds: number): Promise<string> {
    const outfile = join(temporaryFolder(), "busy.mjs");
    const contents = `
      import { createProgress } from "./progress.ts";
      const progress = createProgress(process.stderr, true, Date.now);
      progress.showBeforeLongStep("measuring");
      for (const end = Date.now() + ${milliseconds}; Date.now() < end; );
      progress.clear();`;
    const resolveDir = join(import.meta.dirname, "../../src/cli");
    const stdin = { contents, resolveDir, loader: "ts" as const };
    await build({ stdin, outfile, bundle: true, format: "esm", platform: "node", logLevel: "error" });
    return spawnSync(process.execPath, [outfile], { encoding: "utf8" }).stderr;
  }

  it("showBeforeLongStep(text) draws in the midst of work that never yields, and clear() takes it away", async () => {
    expect(await busyFor(2500)).toBe("\r\u001b[Kmeasuring\r\u001b[K");
  });

  it("showBeforeLongStep(text) leaves no trace of short work", async () => {
    expect(await busyFor(50)).toBe("");
  });
});
