import { spawn, spawnSync } from "node:child_process";
import { cpSync, mkdirSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
// @ts-expect-error a plain script without types
import { build } from "../../../src/cli/build/build.mjs";
import type { SeriesResult } from "../../../src/series/index.ts";
import { temporaryFolder } from "../harness.ts";
import { smallBellWav } from "../small-bell.ts";

// The real program with its real threads, built into a folder of this test's own.
const root = resolve(import.meta.dirname, "../../..");
const outdir = join(root, "node_modules", ".cache", `ringwright-series-test-${process.pid}`);
const bin = join(outdir, "ringwright.mjs");

beforeAll(() => build(outdir), 60_000);
afterAll(() => rmSync(outdir, { recursive: true, force: true }));

const BELLS = 2;
const PASSES = 4;

/** Small bells, each pass 10 cents below the one before, and one recording that is none. */
function withSeries(): string {
  const cwd = temporaryFolder();
  const lines = ["set: invented", "bells:"];
  for (let bell = 0; bell < BELLS; bell++) {
    lines.push(`  - name: bell ${bell + 1}`, `    target: ${500 + 50 * bell}`, "    passes:");
    for (let pass = 0; pass < PASSES; pass++) {
      const name = `b${bell}-${pass}.wav`;
      const primeHz = (500 + 50 * bell) * 2 ** ((45 - 10 * pass) / 1200);
      writeFileSync(join(cwd, name), smallBellWav({ seed: 10 * bell + pass, primeHz }));
      lines.push(`      - {recordings: [${name}]${pass === 0 ? "" : ", removedG: 10, at: inner lip"}}`);
    }
  }
  lines.push("  - {name: none, target: 600, passes: [{recordings: [notes.wav]}]}");
  writeFileSync(join(cwd, "notes.wav"), "dear diary");
  writeFileSync(join(cwd, "row.yaml"), `${lines.join("\n")}\n`);
  return cwd;
}

const kept = (cwd: string): string[] => {
  try {
    return readdirSync(join(cwd, ".ringwright-cache")).filter((name) => /^[0-9a-f]+\.json$/.test(name));
  } catch {
    return [];
  }
};
/** A file that was written anew has another number. */
const inodes = (cwd: string): [string, number][] =>
  kept(cwd).map((name) => [name, statSync(join(cwd, ".ringwright-cache", name)).ino]);

const series = (cwd: string, ...options: string[]) =>
  spawnSync(process.execPath, [bin, "series", "row.yaml", "--json", "out.json", "--force", ...options], {
    cwd,
    encoding: "utf8",
  });

describe("the built series", () => {
  it("series killed midway keeps what it had, measures nothing twice, and ends as a run of its own would", async () => {
    const cwd = withSeries();
    const child = spawn(process.execPath, [bin, "series", "row.yaml", "--workers", "2"], {
      cwd,
      stdio: "ignore",
    });
    const ended = new Promise((done) => child.once("exit", done));
    const deadline = Date.now() + 30_000;
    while (kept(cwd).length < 3 && Date.now() < deadline) await new Promise((next) => setTimeout(next, 5));
    child.kill("SIGKILL");
    await ended;
    const before = inodes(cwd);
    expect(before.length).toBeGreaterThanOrEqual(3);
    for (const [name] of before) {
      expect(() => JSON.parse(readFileSync(join(cwd, ".ringwright-cache", name), "utf8"))).not.toThrow();
    }

    const again = series(cwd, "--workers", "2");
    expect(again.status).toBe(2);
    expect(again.stderr).toMatch(/^ringwright: notes\.wav: this is a text file, not a recording.*\n$/);
    expect(inodes(cwd)).toEqual(expect.arrayContaining(before));
    expect(inodes(cwd)).toHaveLength(BELLS * PASSES + 1);

    const alone = temporaryFolder();
    mkdirSync(alone, { recursive: true });
    cpSync(cwd, alone, { recursive: true, filter: (path) => !/ringwright-cache|out\.json/.test(path) });
    expect(series(alone, "--workers", "1").status).toBe(2);
    expect(readFileSync(join(alone, "out.json"), "utf8")).toBe(readFileSync(join(cwd, "out.json"), "utf8"));

    const result = JSON.parse(readFileSync(join(cwd, "out.json"), "utf8")) as SeriesResult;
    // What was put in: ten cents a pass from 45, so a cent a gram; the last pass 15 cents sharp.
    for (const bell of result.bells.slice(0, BELLS)) {
      expect(bell.meanCents!.value).toBeCloseTo(15, 1);
      for (const { centsPerG } of bell.sensitivity) {
        expect(Math.abs(centsPerG!.value + 1)).toBeLessThan(0.3);
      }
    }
  }, 90_000);
});
