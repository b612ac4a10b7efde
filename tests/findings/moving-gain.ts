/** Invented measurements of a recorder whose gain moves. */
import type { RingDownCurve, TapMeasurement } from "../../src/measurement/index.ts";
import { soundBell } from "../support/sample-measurement.ts";

const COUNT = 5;

/** Straight decays of 20 to 40 dB a second with a gain on top, as points every 10 ms over 2 s, none of them split. */
export function bell(gainDb: (timeS: number, partial: number) => number, modelBendDb = (_t: number) => 0) {
  const sound = soundBell();
  const partials = sound.partials.slice(0, COUNT).map((p) => ({ ...p, doublet: null }));
  const timeS = Array.from({ length: 176 }, (_, i) => 0.25 + 0.01 * i);
  const ringDowns = partials.map((_, partial): RingDownCurve => {
    const modelDb = timeS.map((t) => -(20 + 5 * partial) * t + modelBendDb(t));
    const levelDb = timeS.map((t, i) => modelDb[i]! + gainDb(t, partial));
    return { partial, timeS, levelDb, modelDb, noiseDb: -120 };
  });
  return soundBell({
    partials,
    curves: { ...sound.curves, ringDowns },
    fit: { ...sound.fit, glidePercent: null, startAfterContactS: 0.006 },
    strikes: [oneStrike(sound, {})],
  });
}

export const oneStrike = (sound: TapMeasurement, over: Partial<TapMeasurement["strikes"][number]>) => ({
  ...sound.strikes[0]!,
  onsetS: 1,
  contactsS: [1],
  fitStartS: 1.006,
  leftOut: null,
  clipped: false,
  ...over,
});

/** A gain that comes back by 10 dB a second until it is whole at 1 s. */
export const back = (t: number) => Math.min(0, 10 * (t - 1));
