import { controlGain } from "../synthetic/artefacts.ts";
import type { Random } from "../synthetic/index.ts";
import { gate, suppressNoise } from "./recorder.ts";
import type { AwkwardRecording, Said, Scene } from "./scene.ts";
import { addRecorderNoise, drawTake, largest, toFile, truthOf } from "./take.ts";

/** What the recorder does wrong. Levels are against the peak of the strike. */

const decibels = (levelDb: number): number => 10 ** (levelDb / 20);

function gainControl(random: Random): AwkwardRecording {
  const take = addRecorderNoise(random, drawTake(random));
  const control = {
    thresholdDb: random.between(-20, -10),
    ratio: random.between(2, 8),
    attackS: random.logBetween(0.001, 0.01),
    releaseS: random.logBetween(0.05, 0.5),
  };
  controlGain(take.signal, take.sampleRateHz, take.onsetSample, control, 1);
  const { recording, gain } = toFile(take);
  return { recording, truth: truthOf(take, gain) };
}

function noiseGate(random: Random): AwkwardRecording {
  const take = addRecorderNoise(random, drawTake(random));
  const { signal, sampleRateHz, onsetSample } = take;
  const at = onsetSample + Math.round(random.between(1, 3) * sampleRateHz);
  const closed = gate(signal, sampleRateHz, {
    threshold: largest(signal.subarray(at, at + Math.round(0.05 * sampleRateHz))),
    floor: decibels(random.between(-60, -25)),
    holdS: random.between(0.03, 0.1),
    closeS: random.between(0.01, 0.08),
  });
  const { recording, gain } = toFile(take);
  return { recording, truth: truthOf(take, gain, { sampleCount: closed }) };
}

function suppression(random: Random): AwkwardRecording {
  const take = addRecorderNoise(random, drawTake(random));
  const overDb = random.between(6, 20);
  suppressNoise(take.signal, take.noiseSd, overDb, decibels(random.between(-30, -15)));
  const { recording, gain } = toFile(take);
  // What was taken for noise is lost.
  const lost = (gain * take.noiseSd) ** 2 * 10 ** (overDb / 10);
  return { recording, truth: truthOf(take, gain, { noiseVariance: () => lost }) };
}

function clipped(random: Random): AwkwardRecording {
  const take = addRecorderNoise(random, drawTake(random));
  const { recording, gain } = toFile({ ...take, peak: decibels(random.between(3, 12)) });
  return { recording, truth: truthOf(take, gain) };
}

/** The ring is said to depart from free decays, and the recorder to be one of the likely causes. */
const namesTheRecorder = (said: Said): boolean => /automatic level/.test(said("free-decay")?.text ?? "");

export const RECORDER_SCENES: Scene[] = [
  {
    id: "gain-control",
    title: "automatic gain",
    done: "over 10 to 20 dB under the peak the level is held by 2:1 to 8:1, released in 0.05 to 0.5 s",
    source: "a feed-forward compressor; times common practice, no source",
    make: gainControl,
    says: "gain-control",
    isSaid: (said) => said("gain-control")?.outcome === "attention",
    isHinted: namesTheRecorder,
    mayAlarm: ["free-decay"],
  },
  {
    id: "gate",
    title: "noise gate",
    done: "1 to 3 s after the strike the sound, ring and noise, is turned down by 25 to 60 dB within 10 to 80 ms",
    source: "a peak follower and a switch; times common practice, no source",
    make: noiseGate,
    says: "cut-off",
    isSaid: (said) => said("cut-off")?.outcome === "attention",
    isHinted: (said) => namesTheRecorder(said) || /noise gate/.test(said("other-sounds")?.text ?? ""),
    mayAlarm: [],
  },
  {
    id: "suppression",
    title: "noise suppression by bands",
    done: "in bands of 90 Hz, what is within 6 to 20 dB of the noise is turned down by 15 to 30 dB",
    source: "spectral subtraction: Boll 1979 (from memory)",
    make: suppression,
    says: "noise-reduction",
    isSaid: (said) => said("noise-reduction")?.outcome === "attention",
    isHinted: namesTheRecorder,
    mayAlarm: ["free-decay"],
  },
  {
    id: "clipping",
    title: "clipping at the strike",
    done: "the strike is 3 to 12 dB over full scale and is cut off there",
    source: "the converter",
    make: clipped,
    says: "clipping",
    isSaid: (said) => said("clipping")?.outcome === "attention",
    mayAlarm: [],
  },
];
