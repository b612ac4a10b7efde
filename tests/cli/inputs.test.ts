import { execFileSync, spawn } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { Readable } from "node:stream";
import { describe, expect, it } from "vitest";
import { expandInputs, readInput, shownName } from "../../src/cli/inputs.ts";
import type { Io } from "../../src/cli/io.ts";
import { unreadable } from "../../src/cli/unreadable.ts";
import { Sink, temporaryFolder } from "./harness.ts";

const ioIn = (cwd: string, stdin = ""): Io => ({
  stdin: Readable.from([Buffer.from(stdin)]),
  stdout: new Sink(),
  stderr: new Sink(),
  env: {},
  cwd,
});

describe("expandInputs", () => {
  it("expandInputs([]) is nothing", async () => {
    expect(await expandInputs([], temporaryFolder())).toEqual({ paths: [], failures: [] });
  });

  it("expandInputs(args) keeps - once and never looks it up", async () => {
    const cwd = temporaryFolder();
    writeFileSync(join(cwd, "-"), "");
    expect((await expandInputs(["-", "-"], cwd)).paths).toEqual(["-"]);
  });

  it("expandInputs(args) expands braces and folders' stars", async () => {
    const cwd = temporaryFolder();
    for (const name of ["a.wav", "b.flac", "c.txt"]) writeFileSync(join(cwd, name), "");
    expect((await expandInputs(["*.{wav,flac}"], cwd)).paths).toEqual(["a.wav", "b.flac"]);
    expect((await expandInputs([`${cwd}/*.wav`], "/")).paths.map(shownName)).toEqual(["a.wav"]);
  });

  it("expandInputs(args) tells how to give a file whose name is not in UTF-8, and names no neighbour", async () => {
    const { paths, failures } = await expandInputs(["b\uFFFDll.wav"], temporaryFolder());
    expect(paths).toEqual([]);
    expect(failures.map(({ message }) => message)).toEqual([
      'b\uFFFDll.wav: its name is not in UTF-8; rename it, or pipe it in, as in "tap - < FILE"',
    ]);
  });

  it("expandInputs(args) names every argument that means no file", async () => {
    const { paths, failures } = await expandInputs(["x.wav", "y/*.wav"], temporaryFolder());
    expect(paths).toEqual([]);
    expect(failures.map(({ message }) => message.split(":")[0])).toEqual(["x.wav", "y/*.wav"]);
  });
});

describe("readInput", () => {
  it("readInput(-) reads standard input to its end", async () => {
    const { bytes } = await readInput("-", ioIn("/", "some bytes"));
    expect(Buffer.from(bytes).toString()).toBe("some bytes");
  });

  it("readInput(path) reads a named pipe", async () => {
    const cwd = temporaryFolder();
    execFileSync("mkfifo", [join(cwd, "pipe")]);
    const writer = spawn("sh", ["-c", "printf piped > pipe"], { cwd, stdio: "ignore" });
    const { bytes } = await readInput("pipe", ioIn(cwd));
    expect(Buffer.from(bytes).toString()).toBe("piped");
    await new Promise((resolve) => (writer.exitCode === null ? writer.on("exit", resolve) : resolve(null)));
  });

  it("readInput(path) gives the file's own bytes", async () => {
    const cwd = temporaryFolder();
    const bytes = Uint8Array.from({ length: 1000 }, (_, i) => i % 251);
    writeFileSync(join(cwd, "x.bin"), bytes);
    expect(Uint8Array.from((await readInput("x.bin", ioIn(cwd))).bytes)).toEqual(
      Uint8Array.from(readFileSync(join(cwd, "x.bin"))),
    );
  });
});

describe("unreadable", () => {
  it.each([
    ["ENOENT", /no such file/],
    ["EACCES", /not allowed to read it/],
    ["EIO", /cannot be read \(EIO\)/],
  ])("unreadable(path, %s) says it in plain words", (code, sentence) => {
    const error = unreadable("bell.wav", Object.assign(new Error("system"), { code }));
    expect(error.message).toMatch(sentence);
    expect(error.message).toMatch(/^bell\.wav: [^\n]*;/);
    expect(error.status).toBe(2);
  });
});
