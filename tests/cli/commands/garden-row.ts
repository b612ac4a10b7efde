import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { Engine } from "../../../src/cli/index.ts";
import type { SeriesResult } from "../../../src/series/index.ts";
import { soundBell } from "../../support/sample-measurement.ts";
import { fakeEngine, temporaryFolder } from "../harness.ts";

/** Two bells, the first with two passes. */
export const SERIES = `set: garden row
bells:
  - name: first           # the low one
    target: C5
    passes:
      - recordings: [first-0.wav]
      - recordings: [first-1.wav, first-1b.wav]
        removedG: 12
        at: inner lip
  - name: second
    target: D5
    passes:
      - recordings: [second-0.wav]
`;
export const RECORDINGS = ["first-0.wav", "first-1.wav", "first-1b.wav", "second-0.wav"];

/** A folder with a series file and its recordings, each with content of its own. */
export function withSeries(over: Record<string, string> = {}): string {
  const cwd = temporaryFolder();
  writeFileSync(join(cwd, "row.yaml"), SERIES);
  for (const name of RECORDINGS) writeFileSync(join(cwd, name), over[name] ?? `sound of ${name}`);
  return cwd;
}

/** An engine whose measurements have strikes in every recording; it counts what it measured. */
export function countingEngine(over: Partial<Engine> = {}) {
  const engine = fakeEngine();
  const measured: string[] = [];
  return {
    measured,
    engine: {
      ...engine,
      async measureTap(...[inputs, options, profile]: Parameters<Engine["measureTap"]>) {
        await engine.measureTap(inputs, options, profile);
        measured.push(inputs.map(({ file }) => file).join("+"));
        const bell = soundBell();
        const strikes = inputs.map((_, recording) => ({ ...bell.strikes[0]!, recording }));
        const recordings = inputs.map(({ file }) => ({ ...bell.recordings[0]!, file }));
        return { ...bell, options, strikes, recordings, recording: recordings[0]!, findings: [] };
      },
      ...over,
    } satisfies Engine,
  };
}

/** The result that a run wrote. */
export const saved = (cwd: string, name = "out.json") =>
  JSON.parse(readFileSync(join(cwd, name), "utf8")) as SeriesResult;
