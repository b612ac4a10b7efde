import { describe, expect, test } from "vitest";
import { withholdDecays } from "../../src/findings/index.ts";
import type { RingDownCurve } from "../../src/measurement/index.ts";
import { soundBell } from "../support/sample-measurement.ts";
import { findingOf } from "./support.ts";

const COUNT = 5;

/** Straight decays of 20 to 40 dB a second with a gain on top, as points every 10 ms over 2 s. */
function bell(gainDb: (timeS: number, partial: number) => number, modelBendDb = (_t: number) => 0) {
  const sound = soundBell();
  const partials = sound.partials.slice(0, COUNT).map((p) => ({ ...p, doublet: null }));
  const timeS = Array.from({ length: 200 }, (_, i) => 0.01 * i);
  const ringDowns = partials.map((_, partial): RingDownCurve => {
    const modelDb = timeS.map((t) => -(20 + 5 * partial) * t + modelBendDb(t));
    const levelDb = timeS.map((t, i) => modelDb[i]! + gainDb(t, partial));
    return { partial, timeS, levelDb, modelDb, noiseDb: -100 };
  });
  return soundBell({
    partials,
    curves: { ...sound.curves, ringDowns },
    fit: { ...sound.fit, glidePercent: null },
  });
}

/** A gain that comes back by 10 dB a second until it is whole at 1 s. */
const back = (t: number) => Math.min(0, 10 * (t - 1));

describe("gain-control", () => {
  test("gain-control of straight decays is good, and so is a steady gain or one that never stops rising", () => {
    for (const gain of [() => 0, () => -12, (t: number) => 8 * t]) {
      expect(findingOf("gain-control", bell(gain)).outcome).toBe("good");
    }
  });

  test("gain-control of bends that differ from partial to partial is good", () => {
    const own = (t: number, partial: number) => (partial % 2 === 0 ? back(t) : -back(t));
    expect(findingOf("gain-control", bell(own)).outcome).toBe("good");
  });

  test("gain-control of a gain that all partials share asks for attention, but not beside a glide", () => {
    const held = bell(back);
    expect(findingOf("gain-control", held).outcome).toBe("attention");
    const glide = { ...held, fit: { ...held.fit, glidePercent: { value: 1, ci95: 0.1 } } };
    expect(findingOf("gain-control", glide).outcome).toBe("good");
  });

  test("gain-control of bends that the model has too, as those of beating lines, is good", () => {
    expect(
      findingOf(
        "gain-control",
        bell(() => 0, back),
      ).outcome,
    ).toBe("good");
  });

  test("gain-control does not look at what lies before the fit began", () => {
    const held = bell(back);
    // The gain is whole from 1 s on.
    const late = { ...held, fit: { ...held.fit, startAfterContactS: 1 } };
    expect(findingOf("gain-control", late).outcome).toBe("good");
  });

  test("gain-control does not hear partials that have a neighbour within 8 Hz or 8 linewidths", () => {
    const held = bell(back);
    const moved = held.partials.map((p, i) => ({
      ...p,
      frequencyHz: { ...p.frequencyHz, value: 1000 + 7 * i },
      decayTimeS: { ...p.decayTimeS, value: 10 },
    }));
    expect(findingOf("gain-control", { ...held, partials: moved }).outcome).toBe("good");
    const apart = moved.map((p, i) => ({ ...p, frequencyHz: { ...p.frequencyHz, value: 1000 + 9 * i } }));
    expect(findingOf("gain-control", { ...held, partials: apart }).outcome).toBe("attention");
    const damped = apart.map((p) => ({ ...p, decayTimeS: { ...p.decayTimeS, value: 1 } }));
    expect(findingOf("gain-control", { ...held, partials: damped }).outcome).toBe("good");
  });

  test("withholdDecays opens every decay of a held level, and leaves frequencies and other bells alone", () => {
    const free = bell(() => 0);
    expect(withholdDecays(free)).toBe(free);
    const held = bell(back);
    const told = withholdDecays(held);
    told.partials.forEach((p, i) => {
      expect(p.decayTimeS.ci95).toBeGreaterThanOrEqual(p.decayTimeS.value);
      expect(p.q.ci95).toBeGreaterThanOrEqual(p.q.value);
      expect(p.frequencyHz).toEqual(held.partials[i]!.frequencyHz);
    });
    expect(told.sustain.t60S).toBeNull();
    expect(findingOf("soundness", { ...held, ...told }).outcome).toBe("not-measurable");
  });
});
