import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { MPEGDecoder } from "mpg123-decoder";
import { encodeWav16 } from "../../src/audio/index.ts";
import { delayOf } from "../support/mp3.ts";
import { makeBell, type SyntheticBell } from "../support/synthetic/index.ts";
import { commandRuns } from "./processes.ts";

/** Null with a reason where there is no coder. */
export async function codedBells(count: number): Promise<SyntheticBell[] | string> {
  if (!commandRuns("lame", ["--version"])) return "no lame on this machine: the 128 kb/s row is left out";
  const folder = mkdtempSync(join(tmpdir(), "bells-"));
  const decoder = new MPEGDecoder();
  await decoder.ready;
  const bells: SyntheticBell[] = [];
  for (let seed = 0; seed < count; seed++) {
    bells.push(await codedAt128(makeBell("near", seed), folder, decoder));
  }
  decoder.free();
  rmSync(folder, { recursive: true });
  return bells;
}

/** The bell through MPEG layer III at a constant 128 kb/s and back; the truth moves with the delay of the coder. */
async function codedAt128(bell: SyntheticBell, folder: string, decoder: MPEGDecoder): Promise<SyntheticBell> {
  const wav = join(folder, "bell.wav");
  const mp3 = join(folder, "bell.mp3");
  writeFileSync(wav, encodeWav16(bell.channels, bell.sampleRateHz));
  execFileSync("lame", ["--quiet", "-b", "128", "--cbr", wav, mp3]);
  const { channelData } = decoder.decode(readFileSync(mp3));
  await decoder.reset();
  const delay = delayOf(channelData[0], bell.channels[0], bell.truth.onsetSample);
  const truth = {
    ...bell.truth,
    onsetSample: bell.truth.onsetSample + delay,
    lastContactSample: bell.truth.lastContactSample + delay,
    sampleCount: Math.min(channelData[0].length, bell.truth.sampleCount + delay),
    levelIsTrue: false,
  };
  return { ...bell, channels: [channelData[0].slice(0, truth.sampleCount)], truth };
}
