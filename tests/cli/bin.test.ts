import { type ChildProcess, execFileSync, spawn, spawnSync } from "node:child_process";
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { version } from "../../package.json";
// @ts-expect-error a plain script without types
import { build } from "../../src/cli/build/build.mjs";
import { temporaryFolder } from "./harness.ts";
import { smallBellWav } from "./small-bell.ts";

// The real program, built as `npm ci` builds it, but into a folder of this test's own.
const root = resolve(import.meta.dirname, "../..");
const outdir = join(root, "node_modules", ".cache", `ringwright-bin-test-${process.pid}`);
const bin = join(outdir, "ringwright.mjs");
const bell = join(root, "node_modules/supersonic-scsynth-samples/samples/perc_bell.flac");

beforeAll(() => build(outdir));
afterAll(() => rmSync(outdir, { recursive: true, force: true }));

const ringwright = (args: string[], cwd = temporaryFolder(), input = "") => {
  const { status, stdout, stderr } = spawnSync(bin, args, { cwd, input, encoding: "utf8" });
  return { status, stdout, stderr };
};

describe("the built program", () => {
  it("ringwright --version prints the version", () => {
    expect(ringwright(["--version"])).toEqual({ status: 0, stdout: `${version}\n`, stderr: "" });
  });

  it("ringwright on wrong usage exits 2 with one sentence", () => {
    const { status, stdout, stderr } = ringwright(["tpa"]);
    expect({ status, stdout }).toEqual({ status: 2, stdout: "" });
    expect(stderr).toBe("ringwright: unknown command 'tpa'; did you mean tap?\n");
  });

  it("ringwright starts without loading a decoder, a fit or a report", () => {
    const entry = readFileSync(bin, "utf8");
    const eager = [...entry.matchAll(/^import .* from "(\.\/[^"]+)"/gm)].map((match) => match[1]!);
    const loaded = [entry, ...eager.map((chunk) => readFileSync(join(outdir, chunk), "utf8"))].join("\n");
    expect(loaded).not.toMatch(/import\("@wasm-audio-decoders|from "@wasm-audio-decoders/);
    expect(loaded).not.toContain("Content-Security-Policy");
    expect(loaded).not.toContain("src/partials/");
  });
});

describe("tap, the built program", () => {
  it("ringwright tap writes the report and the data of a real bell and prints the summary", {
    timeout: 120_000,
  }, () => {
    const cwd = temporaryFolder();
    const { status, stdout, stderr } = ringwright(
      ["tap", bell, "--html", "bell.html", "--json", "bell.json"],
      cwd,
    );
    expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
    expect(stdout).toMatch(/^perc_bell /);
    expect(readdirSync(cwd).sort()).toEqual(["bell.html", "bell.json"]);
    const { schema, recording } = JSON.parse(readFileSync(join(cwd, "bell.json"), "utf8"));
    expect(schema).toBe("ringwright.tap/1");
    // As the file's own header and its provenance say.
    expect(recording).toMatchObject({ sampleRateHz: 44100, channels: 2, bits: 16, lossy: false });
    const html = readFileSync(join(cwd, "bell.html"), "utf8");
    expect(html).toMatch(/^<!doctype html>/i);
    expect(html).toContain("data:audio/wav;base64,");
  });

  it("ringwright tap ... | head ends quietly", () => {
    const cwd = temporaryFolder();
    writeFileSync(join(cwd, "bell.wav"), smallBellWav());
    const script = `set -o pipefail; "$0" tap bell.wav | head -n 1; "$0" tap bell.wav --json - | head -c 1`;
    const { status, stdout, stderr } = spawnSync("bash", ["-c", script, bin], { cwd, encoding: "utf8" });
    expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
    expect(stdout).toMatch(/^bell .*\n\{$/);
  });

  it("ringwright tap - reads a recording from a pipe", () => {
    const cwd = temporaryFolder();
    writeFileSync(join(cwd, "bell.wav"), smallBellWav());
    const summary = execFileSync("bash", ["-c", `cat bell.wav | "$0" tap -`, bin], { cwd, encoding: "utf8" });
    expect(summary).toMatch(/^standard input [\s\S]*nominal +1000\.0/);
  });
});

describe("the built program on bad input", () => {
  const real = readFileSync(bell);
  const cases: [name: string, bytes: Uint8Array | null, status: number][] = [
    ["empty.wav", new Uint8Array(0), 2],
    ["notes.wav", Buffer.from("a diary, not a sound\n"), 2],
    ["headless.flac", real.subarray(4000, 9000), 2],
    ["header-only.flac", real.subarray(0, 60), 2],
    ["missing.wav", null, 2],
  ];
  it.each(cases)("ringwright tap %s says one sentence and writes nothing", (name, bytes, expected) => {
    const cwd = temporaryFolder();
    if (bytes) writeFileSync(join(cwd, name), bytes);
    const { status, stdout, stderr } = ringwright(
      ["tap", name, "--html", "out.html", "--json", "out.json"],
      cwd,
    );
    expect({ status, stdout }).toEqual({ status: expected, stdout: "" });
    expect(stderr).toMatch(new RegExp(`^ringwright: ${name.replace(".", "\\.")}: [^\\n]+\\n$`));
    expect(readdirSync(cwd)).toEqual(bytes ? [name] : []);
  });

  it("ringwright tap of a folder says so", () => {
    const cwd = temporaryFolder();
    mkdirSync(join(cwd, "bells"));
    const { status, stderr } = ringwright(["tap", "bells"], cwd);
    expect(status).toBe(2);
    expect(stderr).toMatch(/^ringwright: bells: this is a folder; [^\n]+\n$/);
  });
});

describe("the built program, interrupted", () => {
  const ended = (child: ChildProcess) =>
    new Promise<{ code: number | null; signal: string | null }>((done) =>
      child.on("exit", (code, signal) => done({ code, signal })),
    );

  it("ringwright stopped by Ctrl-C while it waits for standard input leaves no file", async () => {
    const cwd = temporaryFolder();
    const child = spawn(bin, ["tap", "-", "--json", "out.json"], {
      cwd,
      stdio: ["pipe", "ignore", "ignore"],
    });
    child.stdin!.write("RIFF");
    await new Promise((wait) => setTimeout(wait, 500));
    child.kill("SIGINT");
    // Ended by the signal itself, which shells count as 130.
    expect(await ended(child)).toEqual({ code: null, signal: "SIGINT" });
    expect(readdirSync(cwd)).toEqual([]);
  });

  it("ringwright stopped by Ctrl-C in the middle of measuring leaves no file, and the shell sees 130", () => {
    const cwd = temporaryFolder();
    // Far more than half a second of work.
    for (let seed = 1; seed <= 30; seed++)
      writeFileSync(join(cwd, `${seed}.wav`), smallBellWav({ seed, seconds: 6 }));
    const before = readdirSync(cwd);
    const script = `timeout --signal=INT --preserve-status 0.5 "$0" tap *.wav --json out.json --html out.html`;
    const { status, stdout } = spawnSync("bash", ["-c", script, bin], { cwd, encoding: "utf8" });
    expect({ status, stdout }).toEqual({ status: 130, stdout: "" });
    expect(readdirSync(cwd)).toEqual(before);
  });
});
