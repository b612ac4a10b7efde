import { decodeRecording } from "../../src/audio/index.ts";
import { delayOf, encodeMp3 } from "../support/mp3.ts";
import { makeBell, type SyntheticBell } from "../support/synthetic/index.ts";

export async function codedBells(count: number): Promise<SyntheticBell[]> {
  const bells: SyntheticBell[] = [];
  for (let seed = 0; seed < count; seed++) bells.push(await codedAt128(makeBell("near", seed)));
  return bells;
}

/** The bell through MPEG layer III at a constant 128 kb/s and back; the truth moves with the delay of the coder. */
async function codedAt128(bell: SyntheticBell): Promise<SyntheticBell> {
  const { channels } = await decodeRecording(await encodeMp3(bell.channels[0], bell.sampleRateHz, 128));
  const delay = delayOf(channels[0], bell.channels[0], bell.truth.onsetSample);
  const truth = {
    ...bell.truth,
    onsetSample: bell.truth.onsetSample + delay,
    lastContactSample: bell.truth.lastContactSample + delay,
    sampleCount: Math.min(channels[0].length, bell.truth.sampleCount + delay),
    levelIsTrue: false,
  };
  return { ...bell, channels: [channels[0].slice(0, truth.sampleCount)], truth };
}
