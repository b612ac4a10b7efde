import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { Readable, Writable } from "node:stream";
import { onTestFinished } from "vitest";
import { type OpenRecording, openDecoded } from "../../src/audio/index.ts";
import { type Engine, run } from "../../src/cli/index.ts";
import type { TapMeasurement } from "../../src/measurement/index.ts";
import { soundBell } from "../support/sample-measurement.ts";

/** A stream that keeps what is written to it. */
export class Sink extends Writable {
  text = "";
  isTTY = false;
  columns = 80;
  override _write(chunk: Buffer, _encoding: string, done: (error?: Error | null) => void): void {
    this.text += chunk.toString();
    done();
  }
}

/** A stream that refuses every write with a system error, as a closed pipe (EPIPE) or a full disk (ENOSPC) does. */
export class BrokenSink extends Sink {
  readonly code: string;
  constructor(code: string) {
    super();
    this.code = code;
  }
  override _write(_chunk: Buffer, _encoding: string, done: (error?: Error | null) => void): void {
    done(Object.assign(new Error(`write ${this.code}`), { code: this.code }));
  }
}

/** An empty folder that is gone after the test. */
export function temporaryFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "ringwright-test-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** A folder with these files in it. */
export function folderWith(files: Record<string, string>): string {
  const cwd = temporaryFolder();
  for (const [name, text] of Object.entries(files)) writeFileSync(join(cwd, name), text);
  return cwd;
}

export interface World {
  cwd?: string;
  stdin?: Uint8Array | string;
  stdinIsTerminal?: boolean;
  stdout?: Sink;
  stderr?: Sink;
  env?: Record<string, string>;
  engine?: Engine;
}

export interface Outcome {
  status: number;
  stdout: string;
  stderr: string;
}

/** The whole command line in this process, with everything it says. */
export async function ringwright(argv: string[], world: World = {}): Promise<Outcome> {
  const stdout = world.stdout ?? new Sink();
  const stderr = world.stderr ?? new Sink();
  const stdin = Object.assign(Readable.from(world.stdin === undefined ? [] : [Buffer.from(world.stdin)]), {
    isTTY: world.stdinIsTerminal ?? false,
  });
  const io = { stdin, stdout, stderr, env: world.env ?? {}, cwd: world.cwd ?? temporaryFolder() };
  const status = await run(argv, io, world.engine ?? fakeEngine());
  return { status, stdout: stdout.text, stderr: stderr.text };
}

/** Errors of the pure folders, as the command line tells them: by name. */
export function namedError(name: string, message: string): Error {
  return Object.assign(new Error(message), { name });
}

/**
 * An engine that measures nothing, for tests of the command line alone: bytes that begin with "sound" are a
 * recording, "faint..." cannot be measured, "fault..." meets a bug, and anything else is no audio. It notes what it was asked.
 */
export function fakeEngine(
  over: Partial<Engine> = {},
): Engine & { calls: { files: string[]; options: unknown }[] } {
  const calls: { files: string[]; options: unknown }[] = [];
  return {
    calls,
    async openRecording(source) {
      const text = Buffer.from(source.readAt(0, source.byteLength)).toString("latin1");
      if (text.startsWith("fault")) throw new TypeError("cannot read properties of undefined\nsecond line");
      if (!/^(sound|faint)/.test(text))
        throw namedError("UnreadableAudioError", "this is not audio; export it as WAV");
      return recordingOf(text);
    },
    async measureTap(inputs, options) {
      calls.push({ files: inputs.map(({ file }) => file), options });
      if (inputs.some(({ recording }) => recording.format === "faint")) {
        throw namedError(
          "NotMeasurableError",
          "no strike stands out of the noise; move the microphone closer",
        );
      }
      return labelled(options.label);
    },
    tapJson: async (measurement) =>
      `${JSON.stringify({ schema: measurement.schema, label: measurement.options.label })}\n`,
    tapSummary: async (measurement, { colour }) =>
      `${colour ? "\u001b[1m" : ""}${measurement.options.label} is sound\n`,
    tapHtml: async (measurement, sound) =>
      `<!doctype html><title>${measurement.options.label}</title>${sound?.channels[0]?.length ?? "no"} samples\n`,
    ...over,
  };
}

function recordingOf(text: string): OpenRecording {
  return openDecoded({
    format: text.slice(0, 5),
    lossy: false,
    sampleRateHz: 48000,
    bits: 16,
    channels: [new Float32Array(8)],
    warnings: text.includes("forgiven")
      ? ["the header gives no length, so the file was read to its end"]
      : [],
  });
}

function labelled(label: string): TapMeasurement {
  const measurement = soundBell();
  return { ...measurement, options: { ...measurement.options, label } };
}
