import { decodeRecording } from "../../../src/audio/index.ts";
import { delayOf, encodeMp3 } from "../mp3.ts";
import type { Random } from "../synthetic/index.ts";
import { addHum } from "./air.ts";
import { decimate } from "./recorder.ts";
import type { AwkwardRecording, Scene } from "./scene.ts";
import { addRecorderNoise, drawTake, toFile, truthOf } from "./take.ts";

/** What happens to the file afterwards. */

const decibels = (levelDb: number): number => 10 ** (levelDb / 20);

const RECORDED_HZ = 48000;
const LABELLED_HZ = 44100;

/** Recorded at 48,000 samples a second, labelled 44,100: everything is slower and lower by one factor. */
function wrongClock(random: Random, withHum: boolean): AwkwardRecording {
  const take = drawTake(random, { sampleRateHz: RECORDED_HZ });
  if (withHum)
    addHum(random, take.signal, RECORDED_HZ, random.pick([50, 60]), decibels(random.between(-50, -35)));
  addRecorderNoise(random, take);
  const { recording, gain } = toFile(take);
  const slower = LABELLED_HZ / RECORDED_HZ;
  const modes = take.modes.map((m) => ({
    ...m,
    frequencyHz: m.frequencyHz * slower,
    decayRatePerS: m.decayRatePerS * slower,
  }));
  const truth = truthOf({ ...take, modes, sampleRateHz: LABELLED_HZ }, gain);
  return { recording: { ...recording, sampleRateHz: LABELLED_HZ }, truth };
}

const KEPT_OF = 6;

function resampled(random: Random): AwkwardRecording {
  const take = addRecorderNoise(random, drawTake(random, { sampleRateHz: 8000 * KEPT_OF }));
  const signal = decimate(take.signal, KEPT_OF);
  // The filter lets pass what lies under 0.43 of the new rate.
  const modes = take.modes.filter((m) => m.frequencyHz < 3440);
  const low = {
    ...take,
    signal,
    modes,
    sampleRateHz: 8000,
    onsetSample: Math.round(take.onsetSample / KEPT_OF),
    // The density of the noise stays, so its variance falls with the rate.
    noiseSd: take.noiseSd / Math.sqrt(KEPT_OF),
  };
  const { recording, gain } = toFile(low);
  return { recording, truth: truthOf(low, gain) };
}

async function coded(random: Random, kilobitsPerS: 64 | 128): Promise<AwkwardRecording> {
  const take = addRecorderNoise(random, drawTake(random));
  const { recording, gain } = toFile(take);
  const [before] = recording.channels;
  const decoded = await decodeRecording(await encodeMp3(before, recording.sampleRateHz, kilobitsPerS));
  const delay = delayOf(decoded.channels[0], before, take.onsetSample);
  const onsetSample = take.onsetSample + delay;
  const sampleCount = Math.min(decoded.channels[0].length, before.length + delay);
  return {
    recording: decoded,
    truth: truthOf(take, gain, { onsetSample, lastContactSample: onsetSample, sampleCount }),
  };
}

const stored = "MPEG layer III by LAME 3.100, mono, constant rate";

export const FILE_SCENES: Scene[] = [
  {
    id: "clock-hum",
    title: "wrong sample rate, with mains hum",
    done: "48 kHz labelled 44.1 kHz; hum of 50 or 60 Hz and harmonics 35 to 60 dB under the peak",
    source: "arithmetic; levels common practice, no source",
    make: (random) => wrongClock(random, true),
    says: "clock",
    isSaid: (said) => said("clock")?.outcome === "attention",
    mayAlarm: [],
  },
  {
    id: "clock",
    title: "wrong sample rate, no hum",
    done: "48 kHz labelled 44.1 kHz",
    source: "arithmetic",
    make: (random) => wrongClock(random, false),
    says: "clock",
    isSaid: (said) => /cannot be seen/.test(said("clock")?.text ?? ""),
    mayAlarm: [],
  },
  {
    id: "resampled",
    title: "resampled to 8 kHz",
    done: "low-passed at 3.6 kHz and every sixth sample of 48 kHz kept",
    source: "arithmetic",
    make: resampled,
    says: "clock",
    isSaid: (said) => /^Nothing above/.test(said("clock")?.title ?? ""),
    mayAlarm: ["strike"],
  },
  {
    id: "mp3-128",
    title: "128 kb/s",
    done: stored,
    source: "the coder itself",
    make: (random) => coded(random, 128),
    says: "coding",
    isSaid: (said) => said("coding")?.outcome === "note",
    mayAlarm: ["strike"],
  },
  {
    id: "mp3-64",
    title: "64 kb/s",
    done: stored,
    source: "the coder itself",
    make: (random) => coded(random, 64),
    says: "coding",
    isSaid: (said) => said("coding")?.outcome === "note",
    mayAlarm: ["strike"],
  },
];
