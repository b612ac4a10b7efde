import { spawn, spawnSync } from "node:child_process";
import { truncateSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { builtProgram } from "./crash/built.ts";
import { temporaryFolder } from "./harness.ts";
import { smallBellWav } from "./small-bell.ts";

// The real program with its real threads.
const bin = builtProgram("threads");

/** Says on standard error when a thread is started. */
const WATCH = `
const threads = require("node:worker_threads");
const { Worker } = threads;
threads.Worker = class extends Worker {
  constructor(...args) {
    super(...args);
    process.stderr.write("thread\\n");
  }
};
require("node:module").syncBuiltinESMExports();
`;

/** Three strikes on one bell, a copy of the first, silence, and what is no recording. */
function folder(): string {
  const cwd = temporaryFolder();
  for (const seed of [1, 2, 3]) writeFileSync(join(cwd, `bell-${seed}.wav`), smallBellWav({ seed }));
  writeFileSync(join(cwd, "copy.wav"), smallBellWav({ seed: 1 }));
  writeFileSync(join(cwd, "silent.wav"), smallBellWav().fill(0, 44));
  writeFileSync(join(cwd, "notes.wav"), "dear diary");
  writeFileSync(join(cwd, "watch.cjs"), WATCH);
  // One recording of the first two strikes.
  const parts = [1, 2].map((seed) => smallBellWav({ seed }).subarray(44));
  const long = new Uint8Array(44 + parts.reduce((sum, part) => sum + part.length, 0));
  long.set(smallBellWav().subarray(0, 44));
  new DataView(long.buffer).setUint32(40, long.length - 44, true);
  let at = 44;
  for (const part of parts) {
    long.set(part, at);
    at += part.length;
  }
  writeFileSync(join(cwd, "two.wav"), long);
  return cwd;
}

function program(cwd: string, ...args: string[]) {
  const all = ["--require", join(cwd, "watch.cjs"), bin, ...args];
  const { status, stdout, stderr } = spawnSync(process.execPath, all, { cwd, encoding: "utf8" });
  const lines = stderr.split("\n").filter((line) => line !== "");
  return {
    status,
    stdout,
    said: lines.filter((line) => line !== "thread"),
    threads: lines.filter((line) => line === "thread").length,
  };
}

// Whole programs, two of them at a time: on a busy machine they take their time.
describe("threads of the built program", { timeout: 120_000 }, () => {
  it("tap gives byte for byte the same with one thread and with two, and says the same of what is bad", () => {
    const cwd = folder();
    const names = ["bell-1.wav", "notes.wav", "bell-2.wav", "silent.wav", "copy.wav", "bell-3.wav"];
    const run = (workers: string) => program(cwd, "tap", ...names, "--json", "-", "--workers", workers);
    const one = run("1");
    const two = run("2");
    expect(two.threads).toBe(2);
    expect(one.threads).toBe(0);
    expect({ ...two, threads: 0 }).toEqual(one);
    expect(one.status).toBe(2);
    expect(one.said.map((line) => line.replace(/^ringwright: /, "").slice(0, 24))).toEqual(
      expect.arrayContaining([
        expect.stringMatching(/^notes\.wav: this is a te/),
        expect.stringMatching(/^copy\.wav: the same reco/),
        expect.stringMatching(/^silent\.wav: /),
      ]),
    );
    expect(one.said).toHaveLength(3);
    expect(JSON.parse(one.stdout).strikes).toHaveLength(3);
  });

  it("tap fits the strikes of one recording on threads with the same result", () => {
    const cwd = folder();
    const run = (workers: string) => program(cwd, "tap", "two.wav", "--json", "-", "--workers", workers);
    const two = run("2");
    expect(two.threads).toBe(2);
    expect(two.status).toBe(0);
    expect({ ...two, threads: 0 }).toEqual(run("1"));
  });

  it("tap of one small recording starts no thread", () => {
    const { status, threads } = program(folder(), "tap", "bell-1.wav", "--quiet");
    expect({ status, threads }).toEqual({ status: 0, threads: 0 });
  });

  it("tap exits 1 where one of several recordings holds no strike, and 1 where one is of another bell", () => {
    const cwd = folder();
    const silent = program(cwd, "tap", "bell-1.wav", "silent.wav", "--quiet");
    expect(silent.status).toBe(1);
    expect(silent.said).toEqual([expect.stringMatching(/^ringwright: silent\.wav: /)]);
    writeFileSync(join(cwd, "other.wav"), smallBellWav({ seed: 4, primeHz: 611 }));
    const other = program(cwd, "tap", "bell-1.wav", "other.wav", "--quiet");
    expect(other.status).toBe(1);
    expect(other.said).toEqual(["ringwright: other.wav: left out: another bell, 347 cents higher"]);
  });

  it("compare gives the same with one thread and with two", () => {
    const cwd = folder();
    const run = (workers: string) =>
      program(cwd, "compare", "bell-1.wav", "bell-2.wav,bell-3.wav", "--json", "-", "--workers", workers);
    const two = run("2");
    expect(two.threads).toBe(2);
    expect(two.status).toBe(0);
    expect({ ...two, threads: 0 }).toEqual(run("1"));
  });

  it("tap stopped by Ctrl-C while its threads work ends at once, by the signal", async () => {
    const cwd = folder();
    // Ten minutes of silence with a header that says so: enough work for the signal to come into.
    const wav = smallBellWav();
    new DataView(wav.buffer, wav.byteOffset).setUint32(40, 600 * 32000, true);
    for (const name of ["a.wav", "b.wav"]) {
      writeFileSync(join(cwd, name), name === "a.wav" ? wav : wav.slice().fill(1, 50, 60));
      truncateSync(join(cwd, name), 44 + 600 * 32000);
    }
    const args = ["--require", join(cwd, "watch.cjs"), bin, "tap", "a.wav", "b.wav", "--workers", "2"];
    const child = spawn(process.execPath, args, { cwd, stdio: ["ignore", "ignore", "pipe"] });
    const ended = new Promise<NodeJS.Signals | null>((done) => child.on("exit", (_, signal) => done(signal)));
    await new Promise<void>((started) => child.stderr.once("data", () => started()));
    child.kill("SIGINT");
    expect(await ended).toBe("SIGINT");
  });
});
