import { closeSync, openSync, truncateSync, writeFileSync, writeSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { openRecording } from "../../src/audio/index.ts";
import { lazyEngine } from "../../src/cli/engine.ts";
import { fileSource } from "../../src/cli/file-source.ts";
import { ringwright, temporaryFolder } from "./harness.ts";
import { smallBellWav } from "./small-bell.ts";

const GIB = 2 ** 30;

/** Writes `bytes` at an offset; what lies before stays a hole that takes no room on the disk. */
function writeAt(path: string, bytes: Uint8Array, offset: number): void {
  const fd = openSync(path, "r+");
  writeSync(fd, bytes, 0, bytes.length, offset);
  closeSync(fd);
}

describe("files beyond 2 GiB", () => {
  it("tap of a WAV whose sound lies behind 3 GiB of something else measures it as if it stood alone", async () => {
    const cwd = temporaryFolder();
    const bell = smallBellWav();
    writeFileSync(join(cwd, "alone.wav"), bell);
    // Twelve bytes of RIFF header, then a chunk of 3 GiB, then the bell's own chunks.
    const head = new Uint8Array(20);
    head.set(bell.subarray(0, 12));
    head.set(new TextEncoder().encode("JUNK"), 12);
    new DataView(head.buffer).setUint32(16, 3 * GIB, true);
    writeFileSync(join(cwd, "bell.wav"), head);
    writeAt(join(cwd, "bell.wav"), bell.subarray(12), 20 + 3 * GIB);
    const run = (file: string) =>
      ringwright(["tap", file, "--label", "x", "--json", "-"], { cwd, engine: lazyEngine });
    const alone = await run("alone.wav");
    expect(alone.status).toBe(0);
    expect(await run("bell.wav")).toEqual({
      ...alone,
      stdout: alone.stdout.replaceAll("alone.wav", "bell.wav"),
    });
  });

  it("openRecording of a WAV with 3 GiB of samples reads them where they are wanted, and only there", async () => {
    const path = join(temporaryFolder(), "long.wav");
    const bell = smallBellWav();
    writeFileSync(path, bell.subarray(0, 44));
    truncateSync(path, 44 + 3 * GIB);
    new DataView(bell.buffer, bell.byteOffset).setUint32(40, 3 * GIB, true);
    writeAt(path, bell.subarray(40, 44), 40);
    // One sample of half full scale, 16 bits, far behind the 2 GiB that a buffer holds.
    const at = 1.25 * GIB;
    writeAt(path, Uint8Array.of(0, 0x40), 44 + 2 * at);
    const source = fileSource(path, path);
    let most = 0;
    const counted = {
      byteLength: source.byteLength,
      readAt: (offset: number, length: number) => {
        most = Math.max(most, length);
        return source.readAt(offset, length);
      },
    };
    const recording = await openRecording(counted);
    expect(recording.warnings).toEqual([]);
    expect(recording.sampleCount).toBe(1.5 * GIB);
    expect(recording.held).toBeNull();
    expect(recording.read(at - 1, at + 2)[0]).toEqual(Float32Array.of(0, 0.5, 0));
    expect(most).toBeLessThan(2 ** 16);
  });

  it("tap of another file of that size exits 2 and says what can be of any length", async () => {
    const cwd = temporaryFolder();
    const path = join(cwd, "long.flac");
    writeFileSync(path, "fLaC");
    truncateSync(path, 3 * GIB);
    const { status, stderr } = await ringwright(["tap", "long.flac"], { cwd, engine: lazyEngine });
    expect(status).toBe(2);
    expect(stderr).toMatch(/^ringwright: long\.flac: a packed sound file is read up to 1 GiB: [^\n]+\n$/);
  });
});

describe("fileSource", () => {
  it("fileSource of what is not there names it", () => {
    expect(() => fileSource("/nowhere/at/all", "all")).toThrow("all: there is no such file");
  });

  it("fileSource gives the bytes that are there, fewer at the end and none beyond it", () => {
    const path = join(temporaryFolder(), "x");
    writeFileSync(path, Uint8Array.of(1, 2, 3, 4));
    const source = fileSource(path, path);
    expect(source.byteLength).toBe(4);
    expect([...source.readAt(1, 2)]).toEqual([2, 3]);
    expect([...source.readAt(3, 5)]).toEqual([4]);
    expect([...source.readAt(9, 1)]).toEqual([]);
    expect([...source.readAt(0, 1 << 17)]).toEqual([1, 2, 3, 4]);
  });

  it("fileSource refuses to read on where the file has changed", () => {
    const path = join(temporaryFolder(), "x");
    writeFileSync(path, "before");
    const source = fileSource(path, "x.wav");
    writeFileSync(path, "after all");
    expect(() => source.readAt(0, 1)).toThrow("x.wav: changed while it was read");
  });
});
