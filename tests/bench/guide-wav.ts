import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { encodeWav16 } from "../../src/audio/index.ts";
import { guideRecording, USUAL } from "./guide-bell.ts";

/** The names of the strikes that writeGuideRecordings writes. */
export const GUIDE_FILES = ["guide-1.wav", "guide-2.wav", "guide-3.wav"];

/** Writes three strikes of the invented bell, its prime split by 0.8 Hz, for the reading guide: 5 s each, 16 kHz, 16 bits. */
export function writeGuideRecordings(folder: string): void {
  const setting = { ...USUAL, recordS: 4, peakOverNoiseDb: 60, splitHz: 0.8 };
  for (const [i, name] of GUIDE_FILES.entries()) {
    const { channels, sampleRateHz } = guideRecording(setting, 1 + i).recording;
    writeFileSync(join(folder, name), encodeWav16(channels, sampleRateHz));
  }
}
