import { describe, expect, test } from "vitest";
import { withholdDecays } from "../../src/findings/index.ts";
import { DECAYS_WITHHELD } from "../../src/findings/withheld.ts";
import type { TapMeasurement } from "../../src/measurement/index.ts";
import { soundBell } from "../support/sample-measurement.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { back, bell, oneStrike } from "./moving-gain.ts";
import { findingOf } from "./support.ts";

const outcome = (measured: TapMeasurement) => findingOf("gain-control", measured).outcome;

describe("gain-control", () => {
  test("gain-control of straight decays is good, and so is a steady gain or one that never stops rising", () => {
    for (const gain of [() => 0, () => -12, (t: number) => 8 * t]) expect(outcome(bell(gain))).toBe("good");
  });

  test("gain-control of bends that differ from partial to partial is good", () => {
    const own = [1, -1, 2.5, -2.5, 0.4];
    expect(outcome(bell((t, partial) => own[partial]! * back(t)))).toBe("good");
  });

  test("gain-control of noise that each partial has of its own is good, however strong", () => {
    const random = makeRandom(7);
    for (const sdDb of [0.01, 0.3, 3]) expect(outcome(bell(() => sdDb * random.normal()))).toBe("good");
  });

  test("gain-control of a gain that all partials share asks for attention", () => {
    const { outcome: held, text } = findingOf("gain-control", bell(back));
    expect(held).toBe("attention");
    expect(text).toContain("5 partials of 5");
  });

  test("gain-control sees a gain that rises and falls with a beat by half a dB", () => {
    expect(outcome(bell((t) => 0.5 * Math.sin(2 * Math.PI * t)))).toBe("attention");
  });

  test("gain-control asks for three partials that move together, and half of those that could show it", () => {
    const first = (count: number) => (t: number, partial: number) => (partial < count ? back(t) : 0);
    expect(outcome(bell(first(3)))).toBe("attention");
    expect(outcome(bell(first(2)))).toBe("good");
    const wide = bell(first(3));
    const more = [...wide.partials, ...wide.partials.slice(3), ...wide.partials.slice(3)].map((p, i) => ({
      ...p,
      frequencyHz: { ...p.frequencyHz, value: 500 + 150 * i },
    }));
    const straight = wide.curves.ringDowns[4]!;
    const ringDowns = more.map((_, partial) => ({
      ...(wide.curves.ringDowns[partial] ?? straight),
      partial,
    }));
    const many = { ...wide, partials: more, curves: { ...wide.curves, ringDowns } };
    expect(outcome(many)).toBe("good");
    // Split partials that do not go along are no witnesses.
    const doublet = soundBell().partials.find((p) => p.doublet !== null)!.doublet;
    const split = more.map((p, i) => ({ ...p, doublet: i < 3 ? null : doublet }));
    expect(outcome({ ...many, partials: split })).toBe("attention");
  });

  test("gain-control of bends that the model has too, as those of beating lines, is good", () => {
    expect(outcome(bell(() => 0, back))).toBe("good");
  });

  test("gain-control looks at what lies before the fit began, but not where it was clipped or the rod came back", () => {
    const held = bell(back);
    // The gain is whole from 1 s on.
    const late = { ...held, fit: { ...held.fit, startAfterContactS: 1 } };
    const struck = (over: Partial<TapMeasurement["strikes"][number]>) =>
      outcome({ ...late, strikes: [oneStrike(held, { fitStartS: 2, ...over })] });
    expect(struck({})).toBe("attention");
    expect(struck({ clipped: true })).toBe("good");
    expect(struck({ contactsS: [1, 1.95] })).toBe("good");
  });

  test("gain-control does not follow a partial into its noise, nor what is left when its model has died away", () => {
    const held = bell(back);
    const noisy = held.curves.ringDowns.map((c) => ({ ...c, noiseDb: -20 }));
    expect(outcome({ ...held, curves: { ...held.curves, ringDowns: noisy } })).toBe("good");
    const floor = held.curves.ringDowns.map((c) => ({
      ...c,
      levelDb: c.modelDb.map((level) => Math.max(-25, level)),
      noiseDb: -43.1,
    }));
    expect(outcome({ ...held, curves: { ...held.curves, ringDowns: floor } })).toBe("good");
  });

  test("gain-control does not follow partials through which a neighbour comes", () => {
    const held = bell(back);
    const at = (gapHz: number) =>
      held.partials.map((p, i) => ({ ...p, frequencyHz: { ...p.frequencyHz, value: 1000 + gapHz * i } }));
    // Through windows of 0.25 s a line 4 Hz away comes at -20 dB, one 25 Hz away at -52 dB.
    expect(outcome({ ...held, partials: at(4) })).toBe("good");
    expect(outcome({ ...held, partials: at(25) })).toBe("attention");
  });

  test("gain-control leaves out partials that a glide of the pitch takes out of their windows", () => {
    const held = bell(back);
    const gliding = (percent: number) =>
      outcome({ ...held, fit: { ...held.fit, glidePercent: { value: percent, ci95: percent / 10 } } });
    expect(gliding(1)).toBe("good");
    // 0.1 Hz at 1,000 Hz.
    expect(gliding(0.01)).toBe("attention");
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

describe("findings on a ring whose decays are withheld", () => {
  test("findings that would judge by the decays name the gain instead of asking for a longer or a quieter recording", () => {
    const held = bell(back);
    const usedS = held.partials[0]!.decayTimeS.value / 10;
    const told = withholdDecays({
      ...held,
      strikes: [{ ...held.strikes[0]!, usedS, endedBy: "end of recording" }],
      sustain: { ...held.sustain, audibleS: null },
    });
    for (const id of ["soundness", "damping", "length", "sustain"]) {
      const { outcome, text } = findingOf(id, { ...told, findings: [] });
      expect({ id, outcome, text }).toEqual({ id, outcome: "not-measurable", text: DECAYS_WITHHELD });
    }
  });

  test("findings on the same ring without a gain say what they said", () => {
    const still = bell(() => 0);
    const texts = ["soundness", "damping", "length"].map((id) => findingOf(id, still).text);
    expect(texts).not.toContain(DECAYS_WITHHELD);
  });
});
