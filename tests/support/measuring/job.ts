import { parse } from "node:path";
import { openRecording } from "../../../src/audio/index.ts";
import { DEFAULT_PROFILE_ID } from "../../../src/bell/index.ts";
import { fileSource } from "../../../src/cli/file-source.ts";
import { silenceLibraries } from "../../../src/cli/io.ts";
import type { TapMeasurement } from "../../../src/measurement/index.ts";
import { measureTap } from "../../../src/tap/index.ts";

/** What a process of its own makes of one file: as `tap FILE` without options, and what it cost. */
export interface MeasuredFile {
  measurement: TapMeasurement | null;
  /** The sentence of a refusal, or null. */
  refused: string | null;
  /** Of the whole process, starting up included. */
  cpuS: number;
  wallS: number;
  peakMiB: number;
}

/** Measures the file and prints a `MeasuredFile` as JSON. */
async function measureFile(path: string): Promise<MeasuredFile> {
  const began = performance.now();
  let measurement: TapMeasurement | null = null;
  let refused: string | null = null;
  try {
    const recording = await openRecording(fileSource(path, path));
    const { name, base } = parse(path);
    const options = { label: name, a4Hz: 440, profile: DEFAULT_PROFILE_ID, ridges: null, pins: {} };
    measurement = measureTap([{ file: base, recording }], options, null);
  } catch (error) {
    refused = error instanceof Error ? error.message : String(error);
  }
  const wallS = (performance.now() - began) / 1000;
  const { userCPUTime, systemCPUTime, maxRSS } = process.resourceUsage();
  return { measurement, refused, cpuS: (userCPUTime + systemCPUTime) / 1e6, wallS, peakMiB: maxRSS / 1024 };
}

silenceLibraries({});
process.stdout.write(JSON.stringify(await measureFile(process.argv[2])));
