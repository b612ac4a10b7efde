import type { Random, TrueMode } from "../synthetic/index.ts";
import { addGlidingSinusoid } from "../synthetic/modes.ts";
import { addClick, addRattle, addSpeech, addWind } from "./air.ts";
import type { AwkwardRecording, Scene } from "./scene.ts";
import {
  addRecorderNoise,
  addThud,
  drawModes,
  drawPrimeHz,
  drawTake,
  modeOf,
  soundFreely,
  toFile,
  truthOf,
} from "./take.ts";

/** What goes wrong at the bell and around it. Levels are against the peak of the strike. */

const decibels = (levelDb: number): number => 10 ** (levelDb / 20);

function clean(random: Random): AwkwardRecording {
  const take = addRecorderNoise(random, drawTake(random));
  const { recording, gain } = toFile(take);
  return { recording, truth: truthOf(take, gain) };
}

function twoBells(random: Random): AwkwardRecording {
  const sampleRateHz = random.pick([44100, 48000]);
  const primeHz = drawPrimeHz(random);
  const modes = drawModes(random, sampleRateHz, primeHz);
  const take = drawTake(random, { sampleRateHz, modes });
  // A minor second to a major sixth higher or lower: two bells of one shop.
  const interval = random.between(1.06, 1.7) ** random.sign();
  const other = drawModes(random, sampleRateHz, primeHz * interval);
  const level =
    decibels(random.between(-6, 3)) * Math.abs(take.modes[0].amplitude[0] / modes[0].amplitude[0]);
  const heard = other.map((m) => ({ ...m, amplitude: m.amplitude.map((a) => a * level) }));
  const start = take.onsetSample + Math.round(random.between(0, 0.02) * sampleRateHz);
  for (const mode of heard) soundFreely(take.signal, sampleRateHz, start, mode);
  addRecorderNoise(random, take);
  const { recording, gain } = toFile(take);
  const both = { ...take, modes: [...take.modes, ...heard] };
  return { recording, truth: truthOf(both, gain, { lastContactSample: start }) };
}

function speech(random: Random): AwkwardRecording {
  const take = drawTake(random);
  const { sampleRateHz, onsetSample, signal } = take;
  const start = onsetSample + Math.round(random.between(0.7, 1.8) * sampleRateHz);
  addSpeech(random, signal, sampleRateHz, start, decibels(random.between(-40, -25)));
  addRecorderNoise(random, take);
  const { recording, gain } = toFile(take);
  // Until the voice begins the ring is whole.
  return { recording, truth: truthOf(take, gain, { sampleCount: start }) };
}

function wind(random: Random): AwkwardRecording {
  const take = drawTake(random);
  const { sampleRateHz, signal } = take;
  const density = addWind(random, signal, sampleRateHz, decibels(random.between(-35, -15)));
  addRecorderNoise(random, take);
  const { recording, gain } = toFile(take);
  const noiseVariance = (f: number) => gain ** 2 * (density(f) + take.noiseSd ** 2);
  return { recording, truth: truthOf(take, gain, { noiseVariance }) };
}

function handDamping(random: Random): AwkwardRecording {
  const take = drawTake(random);
  const { sampleRateHz, onsetSample, signal } = take;
  const start = onsetSample + Math.round(random.between(1, 2.5) * sampleRateHz);
  // A hand comes down within 20 ms and takes 60 dB in 0.15 to 0.4 s.
  const rate = Math.log(1000) / (random.between(0.15, 0.4) * sampleRateHz);
  const closing = 0.02 * sampleRateHz;
  let lost = 0;
  for (let i = start; i < signal.length; i++) {
    lost += rate * Math.min(1, (i - start) / closing);
    signal[i] *= Math.exp(-lost);
  }
  addRecorderNoise(random, take);
  const { recording, gain } = toFile(take);
  return { recording, truth: truthOf(take, gain, { sampleCount: start }) };
}

function rattle(random: Random): AwkwardRecording {
  const take = drawTake(random);
  addRattle(random, take.signal, take.sampleRateHz, take.onsetSample, decibels(random.between(-16, -8)));
  addRecorderNoise(random, take);
  const { recording, gain } = toFile(take);
  return { recording, truth: truthOf(take, gain) };
}

function cracked(random: Random): AwkwardRecording {
  const sampleRateHz = random.pick([44100, 48000]);
  // Pairs are drawn anew: across a crack every partial is two.
  const sound = drawModes(random, sampleRateHz, drawPrimeHz(random)).filter(
    (m, i, all) => i === 0 || m.frequencyHz > 1.01 * all[i - 1].frequencyHz,
  );
  const bad = new Set([random.integer(0, 2), random.integer(3, 5), random.integer(6, 8)]);
  const modes = sound.flatMap((mode, i) => crack(random, mode, bad.has(i)));
  // Open at first, it bends more easily: the pitch rises as the ring dies.
  const glide = { amount: -random.between(2e-4, 1e-3), timeConstantS: random.between(0.15, 0.4) };
  const take = drawTake(random, {
    sampleRateHz,
    modes,
    sound: (signal, rateHz, start, mode) => addGlidingSinusoid(signal, rateHz, start, mode, 0, glide),
  });
  addRecorderNoise(random, take);
  const { recording, gain } = toFile(take);
  return { recording, truth: truthOf(take, gain) };
}

/** Bad: 8 to 20 times the loss, split by 1 to 2.5 %; the others 1 to 2 times and 0.1 to 0.4 %. */
function crack(random: Random, mode: TrueMode, isBad: boolean): TrueMode[] {
  const frequencyHz = mode.frequencyHz * (1 - (isBad ? random.between(0.01, 0.03) : random.between(0, 0.01)));
  const split = isBad ? random.between(0.01, 0.025) : random.between(1e-3, 4e-3);
  const loss = isBad ? random.between(8, 20) : random.between(1, 2);
  const alpha = mode.decayRatePerS * loss;
  const level = mode.amplitude[0];
  return [
    modeOf(random, frequencyHz, alpha, level),
    modeOf(
      random,
      frequencyHz * (1 + split),
      alpha * random.between(0.8, 1.2),
      level * random.between(0.3, 1),
    ),
  ];
}

function onBench(random: Random): AwkwardRecording {
  const sampleRateHz = random.pick([44100, 48000]);
  const loss = random.between(6, 15);
  const modes = drawModes(random, sampleRateHz, drawPrimeHz(random)).map((m) => ({
    ...m,
    decayRatePerS: m.decayRatePerS * loss * random.between(0.7, 1.4),
  }));
  const take = drawTake(random, { sampleRateHz, modes });
  const { signal, onsetSample } = take;
  addThud(random, signal, sampleRateHz, onsetSample, decibels(-6));
  // The rim hops on the wood: knocks that come faster and faster, and softer.
  let last = onsetSample;
  let pauseS = random.between(0.05, 0.09);
  let level = decibels(random.between(-14, -8));
  for (let k = random.integer(2, 4); k > 0; k--) {
    last += Math.round(pauseS * sampleRateHz);
    for (const mode of take.modes) {
      const again = { ...mode, amplitude: mode.amplitude.map((a) => a * level) };
      soundFreely(signal, sampleRateHz, last, again);
    }
    addThud(random, signal, sampleRateHz, last, level);
    addClick(random, signal, sampleRateHz, last, level / 3);
    pauseS *= 0.75;
    level *= 0.7;
  }
  addRecorderNoise(random, take);
  const { recording, gain } = toFile(take);
  return { recording, truth: truthOf(take, gain, { lastContactSample: last }) };
}

const INVENTED = "levels and times are common practice, no source";

export const BELL_SCENES: Scene[] = [
  {
    id: "clean",
    title: "nothing wrong",
    done: "one clean strike; noise 60 to 75 dB under its peak",
    source: INVENTED,
    make: clean,
    says: "free-decay",
    isSaid: (said) => said("free-decay")?.outcome === "good",
    mayAlarm: [],
  },
  {
    id: "two-bells",
    title: "two bells at once",
    done: "a second bell, a semitone to a sixth away, sounds within 20 ms at -6 to +3 dB",
    source: INVENTED,
    make: twoBells,
    says: "second-bell",
    isSaid: (said) => said("second-bell")?.outcome === "attention",
    mayAlarm: ["strike"],
  },
  {
    id: "speech",
    title: "speech over the ring",
    done: "a voice from 0.7 to 1.8 s after the strike on, 25 to 40 dB under its peak",
    source: "vowels: Peterson & Barney 1952 (from memory)",
    make: speech,
    says: "other-sounds",
    isSaid: (said) => said("other-sounds")?.outcome === "note" || /voice/.test(said("strike")?.text ?? ""),
    isHinted: (said) => /several sounds/.test(said("free-decay")?.text ?? ""),
    mayAlarm: ["other-sounds", "strike", "free-decay"],
  },
  {
    id: "wind",
    title: "wind",
    done: "low noise in gusts, 15 to 35 dB under the peak, through the whole recording",
    source: "shape: Morgan & Raspet 1992 (from memory)",
    make: wind,
    says: "noise",
    isSaid: (said) => /wind/.test(said("noise")?.text ?? ""),
    mayAlarm: ["other-sounds"],
  },
  {
    id: "hand",
    title: "hand damping",
    done: "a hand takes 60 dB in 0.15 to 0.4 s, 1 to 2.5 s after the strike",
    source: INVENTED,
    make: handDamping,
    says: "hand-damping",
    isSaid: (said) => said("hand-damping")?.outcome === "attention",
    mayAlarm: [],
  },
  {
    id: "rattle",
    title: "a rattle",
    done: "10 to 16 clicks of 2 ms, 8 to 16 dB under the peak, dying with the ring",
    source: INVENTED,
    make: rattle,
    says: "strike",
    isSaid: (said) => /rattles/.test(said("strike")?.title ?? ""),
    mayAlarm: ["free-decay", "other-sounds"],
  },
  {
    id: "crack",
    title: "a cracked bell",
    done: "every partial split, three of them by 1 to 2.5 %, 1 to 3 % lower, with 8 to 20 times the loss; the pitch rises by 0.02 to 0.1 %",
    source:
      "direction of each change: a softer, lossy hinge (textbook of vibration, from memory); sizes common practice, no source",
    make: cracked,
    says: "soundness",
    isSaid: (said) => said("soundness")?.outcome === "attention",
    mayAlarm: ["glide"],
  },
  {
    id: "bench",
    title: "on a bench",
    done: "mouth down: 4 to 21 times the loss, thuds, two to four knocks of the rim in the first quarter of a second",
    source: INVENTED,
    make: onBench,
    says: "soundness",
    isSaid: (said) => said("soundness")?.outcome === "attention",
    mayAlarm: ["strike", "other-sounds", "free-decay"],
  },
];
