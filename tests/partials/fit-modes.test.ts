import { describe, expect, it } from "vitest";
import { estimateLines } from "../../src/partials/estimate-lines.ts";
import { fitModes } from "../../src/partials/fit-modes.ts";
import { glideDelayS } from "../../src/partials/glide.ts";
import type { RingDown } from "../../src/partials/ring-down.ts";
import { RING_RATE_HZ, RING_SD, ringDownOf } from "./rings.ts";

const FS = RING_RATE_HZ;
const ONSET = FS;

/** Amplitude and cosine phase in each channel, at the first contact. */
interface TrueLine {
  frequencyHz: number;
  alpha: number;
  amplitude: number[];
  phase: number[];
}
const line = (frequencyHz: number, alpha: number, amplitude: number, phase = 0.7): TrueLine => ({
  frequencyHz,
  alpha,
  amplitude: [amplitude],
  phase: [phase],
});
const BELL = [line(810, 2.5, 0.2, -2), line(1210, 3, 0.1, 1), line(500, 2, 0.15)];
/** A line of this matched-filter SNR. */
const weak = (frequencyHz: number, rho: number) =>
  line(frequencyHz, 4, Math.sqrt((8 * 4 * RING_SD ** 2 * rho) / FS));

/** A second of quiet, then the lines; `delayS` moves their phases, `level` is a factor of all. */
function recorded(
  lines: TrueLine[],
  seed: number,
  { seconds = 1.5, channels = 1, delayS = (_: number): number => 0, level = (_: number): number => 1 } = {},
): RingDown {
  const parts = Array.from({ length: channels }, (_, c) =>
    ringDownOf([], seed + c, 1 + seconds, (x) => {
      for (const { frequencyHz, alpha, amplitude, phase } of lines) {
        for (let n = ONSET; n < x.length; n++) {
          const t = (n - ONSET) / FS;
          const turn = 2 * Math.PI * frequencyHz * (t + delayS(t)) + phase[c];
          x[n] += amplitude[c] * level(t) * Math.exp(-alpha * t) * Math.cos(turn);
        }
      }
    }),
  );
  return {
    ...parts[0],
    channels: parts.map((p) => p.channels[0]),
    onsetSample: ONSET,
    ringStartSample: ONSET + 160,
    quiet: { startSample: 0, endSample: ONSET },
  };
}

const hertz = (lines: { frequencyHz: number }[]) => lines.map(({ frequencyHz }) => Math.round(frequencyHz));
const turn = (phase: number) => phase - 2 * Math.PI * Math.round(phase / (2 * Math.PI));

describe("fitModes", () => {
  it("fitModes(two channels) has frequency, rate, amplitude and phase at the first contact, ascending, within their errors", () => {
    const lines = BELL.map((l, i) => ({
      ...l,
      amplitude: [l.amplitude[0], 0.05],
      phase: [l.phase[0], 2 - i],
    }));
    const ring = recorded(lines, 1, { channels: 2 });
    const fit = fitModes({ ...ring, bounced: true });
    expect(hertz(fit.modes)).toEqual([500, 810, 1210]);
    const truth = lines.toSorted((a, b) => a.frequencyHz - b.frequencyHz);
    fit.modes.forEach((mode, i) => {
      const { frequencyHz, alpha, amplitude, phase } = truth[i];
      expect(Math.abs(mode.frequencyHz - frequencyHz)).toBeLessThan(4 * mode.frequencySdHz);
      expect(Math.abs(mode.decayRatePerS - alpha)).toBeLessThan(4 * mode.decayRateSdPerS);
      amplitude.forEach((a, c) => {
        // The errors are those of the stronger channel.
        const times = amplitude[0] / a;
        expect(Math.abs(Math.log(mode.amplitude[c] / a))).toBeLessThan(4 * times * mode.logAmplitudeSd);
        expect(Math.abs(turn(mode.phaseRad[c] - phase[c]))).toBeLessThan(4 * times * mode.phaseSdRad);
        expect(Math.abs(mode.phaseRad[c])).toBeLessThanOrEqual(Math.PI);
      });
      // Twice the bound of a line alone at the most.
      const rho =
        ((amplitude[0] ** 2 + amplitude[1] ** 2) * Math.exp(-2 * alpha * 0.02) * FS) /
        (8 * alpha * RING_SD ** 2);
      expect(mode.frequencySdHz).toBeLessThan((2 * alpha * Math.sqrt(2 / rho)) / (2 * Math.PI));
      expect(mode.logAmplitudeSd).toBeLessThan(2 / Math.sqrt(rho));
      expect(mode.phaseSdRad).toBeLessThan(2 / Math.sqrt(rho));
    });
    expect(fit).toMatchObject({
      steady: [],
      combinations: [],
      freeDecay: true,
      departs: false,
      glide: null,
      startSample: ONSET + 160,
      noiseFrom: "before the strike",
      linesTried: 3,
      stopReason: "nothing new stands out",
    });
    expect(fit.noise.length).toBe(2);
    expect(fit.medianChi).toBe(fit.modes.map(({ chi }) => chi).sort((a, b) => a - b)[1]);
  });

  it("fitModes carries the errors of a line from the start of its fit to the first contact, with their covariance", () => {
    const ring = recorded(BELL, 2);
    const { lines, startSample } = estimateLines(ring);
    const fit = fitModes(ring);
    for (const { line: l, early, sdAlpha, sdOmega } of lines) {
      const mode = fit.modes.find(({ frequencyHz }) => frequencyHz === l.omega / (2 * Math.PI))!;
      const t = (startSample - ONSET) / FS + early.delayS;
      // ln A + alpha t and phase - omega t, each the sum of two that vary together.
      const variance = (sd: number) => l.sdLogAmplitude ** 2 + 2 * t * l.covLogAmplitudeAlpha + (t * sd) ** 2;
      expect(mode.logAmplitudeSd).toBeCloseTo(Math.sqrt(variance(sdAlpha)), 12);
      expect(mode.phaseSdRad).toBeCloseTo(Math.sqrt(variance(sdOmega)), 12);
      expect([mode.frequencySdHz, mode.decayRateSdPerS]).toEqual([sdOmega / (2 * Math.PI), sdAlpha]);
      expect([mode.chi, mode.rho, mode.seenIn]).toEqual([
        l.chi,
        l.rho,
        lines.find((s) => s.line === l)!.seenIn,
      ]);
    }
  });

  it("fitModes lists lines from a matched-filter SNR of 50 on", () => {
    const fit = fitModes(recorded([...BELL, weak(1700, 36), weak(2300, 75)], 3));
    expect(hertz(fit.modes)).toEqual([500, 810, 1210, 2300]);
    expect(fit.linesTried).toBe(5);
  });

  it("fitModes(noise alone) has nothing to say of it, and no NaN", () => {
    const fit = fitModes(recorded([], 4, { seconds: 1.2 }));
    expect([fit.modes, fit.steady, fit.combinations, fit.medianChi]).toEqual([[], [], [], 0]);
    expect(fit.startSample).toBeGreaterThanOrEqual(ONSET + 160);
    expect(fitModes({ ...recorded([], 4), endSample: ONSET + 200 }).modes).toEqual([]);
  });

  it("fitModes sorts hum and what the partials make together apart, and says of which they are made", () => {
    // The sum of the highest and the lowest, 40 dB down, decays as both do.
    const sum = line(1710, 5, 0.001);
    const hum = [150, 50, 100].map((f, i) => line(f, 0, 0.01 / 2 ** i));
    const fit = fitModes(recorded([...BELL, sum, ...hum], 5, { seconds: 2.5 }));
    expect(hertz(fit.modes)).toEqual([500, 810, 1210]);
    expect(hertz(fit.steady)).toEqual([50, 100, 150]);
    expect(fit.combinations.map(({ frequencyHz, of }) => [Math.round(frequencyHz), of])).toEqual([
      [1710, [0, 2]],
    ]);
  });

  it("fitModes leaves out what had fallen by 40 dB before its fit began", () => {
    // A bounce 0.22 s after the contact: 4.4 and 5.1 nepers.
    const fast = [line(1700, 20, 0.5), line(2300, 23, 0.5)];
    const from = ONSET + 0.22 * FS;
    const ring = { ...recorded([...BELL, ...fast], 6), ringStartSample: from, bounced: true };
    const fit = fitModes(ring);
    expect([fit.departs, fit.startSample]).toEqual([false, from]);
    expect(hertz(fit.modes)).toEqual([500, 810, 1210, 1700]);
    expect(estimateLines(ring).lines.length).toBe(5);
  });

  it("fitModes(a ring that glides) departs from free decays, is one of a bell, and has its glide", () => {
    const glide = { amount: 0.003, timeConstantS: 0.3 };
    const fit = fitModes(recorded(BELL, 7, { seconds: 2, delayS: (t) => glideDelayS(glide, t) }));
    expect([fit.departs, fit.freeDecay]).toEqual([true, true]);
    expect(fit.glide?.amount).toBeCloseTo(0.003, 4);
    expect(hertz(fit.modes)).toEqual([500, 810, 1210]);
  });

  it("fitModes(levels that swing) departs from free decays, and is a ring of a bell all the same", () => {
    const fit = fitModes(recorded(BELL, 8, { seconds: 1.3, level: (t) => 1 + 0.1 * Math.sin(25 * t) }));
    expect([fit.departs, fit.freeDecay, fit.glide]).toEqual([true, true, null]);
    // The first of the starts that are compared is 30 ms on.
    expect(fit.startSample).toBe(ONSET + 160 + 0.03 * FS);
    for (const f of [500, 810, 1210]) expect(hertz(fit.modes)).toContain(f);
  });

  it("fitModes(one line that goes on gliding) departs from free decays, and its starts agree upon hardly anything", () => {
    const fit = fitModes(recorded([line(900, 1.5, 0.1)], 9, { seconds: 1.3, delayS: (t) => 0.0022 * t * t }));
    expect([fit.departs, fit.modes.length < 3]).toEqual([true, true]);
  });

  it("fitModes lists a weak line that falls too little in the record for its rate to be known, for the quiet has no such tone", () => {
    // Of 0.12 /s, known to 0.05, in 1.5 s.
    const fit = fitModes(recorded([...BELL, line(1700, 0.12, 6e-5)], 10));
    expect(fit.steady).toEqual([]);
    expect(hertz(fit.modes)).toEqual([500, 810, 1210, 1700]);
  });

  it("fitModes(more than forty lines whose levels swing) lists them all, in order", () => {
    const many = Array.from({ length: 46 }, (_, i) =>
      line(300 + 75 * i, 2 + (i % 5) / 2, 0.03 + 0.001 * ((i * 7) % 46)),
    );
    const fit = fitModes(recorded(many, 11, { seconds: 1.3, level: (t) => 1 + 0.1 * Math.sin(25 * t) }));
    expect([fit.departs, fit.freeDecay]).toEqual([true, true]);
    const listed = hertz(fit.modes);
    expect(many.filter(({ frequencyHz }) => !listed.includes(frequencyHz))).toEqual([]);
    expect(hertz(fit.modes)).toEqual(hertz(fit.modes).toSorted((a, b) => a - b));
  });
});
