import { describe, expect, it } from "vitest";
import { curvesOf } from "../../src/tap/curves.ts";
import { fitOf, modeAt, modesOf, recordingOf, struck, tunedModes } from "./bells.ts";
import { strikesIn } from "./strikes-in.ts";

const noise = { centresHz: Float64Array.of(20, 8000), variance: Float64Array.of(1e-9, 1e-9) };

function stereo(gains: [number, number]) {
  const bell = struck(tunedModes(400, gains), 1);
  const [audio] = strikesIn(recordingOf(bell.channels, bell.sampleRateHz));
  const modes = modesOf(bell.truth.modes);
  return { audio, modes, fit: fitOf(modes, { noise: [noise, noise] }) };
}

describe("curvesOf", () => {
  it("curvesOf draws the whole sound even without partials", () => {
    const { audio, fit } = stereo([1, 0.5]);
    const { spectrum, ringDowns } = curvesOf(audio, { ...fit, modes: [] }, []);
    expect(ringDowns.map((r) => r.partial)).toEqual([null]);
    expect(spectrum.levelDb.every(Number.isFinite)).toBe(true);
  });

  it("curvesOf draws the whole sound, then each partial by its index", () => {
    const { audio, modes, fit } = stereo([1, 0.5]);
    const { ringDowns } = curvesOf(
      audio,
      fit,
      modes.map((m) => [m]),
    );
    expect(ringDowns.map((r) => r.partial)).toEqual([null, 0, 1, 2, 3, 4, 5, 6]);
    for (const r of ringDowns) {
      expect(r.levelDb).toHaveLength(r.timeS.length);
      expect(r.modelDb).toHaveLength(r.timeS.length);
      expect([...r.levelDb, ...r.modelDb, r.noiseDb].every(Number.isFinite)).toBe(true);
    }
  });

  it("curvesOf draws the channel in which the bell is loudest", () => {
    for (const gains of [
      [1, 0.25],
      [0.25, 1],
    ] as [number, number][]) {
      const { audio, modes, fit } = stereo(gains);
      const { spectrum } = curvesOf(
        audio,
        fit,
        modes.map((m) => [m]),
      );
      // The same curve as of that channel alone, where the strongest partial has fallen from its 0 dB at the strike.
      const top = Math.max(...spectrum.levelDb);
      expect(top).toBeLessThan(0);
      const single = Math.max(
        ...curvesOf(
          { ...audio, ring: { ...audio.ring, channels: [audio.ring.channels[gains[0] === 1 ? 0 : 1]] } },
          fitOf(
            modes.map((m) => ({ ...m, amplitude: m.amplitude.slice(gains[0] === 1 ? 0 : 1).slice(0, 1) })),
            { noise: [noise] },
          ),
          modes.map((m) => [{ ...m, amplitude: m.amplitude.slice(gains[0] === 1 ? 0 : 1).slice(0, 1) }]),
        ).spectrum.levelDb,
      );
      expect(top).toBeCloseTo(single, 9);
    }
  });

  it("curvesOf keeps a partial's window within its neighbours' distance, down to 1 Hz", () => {
    const { audio, fit } = stereo([1, 0.5]);
    const two = Float64Array.of(0.1, 0.1);
    const near = [400, 400.2].map((f) => [modeAt(f, { amplitude: two, phaseRad: Float64Array.of(0, 0) })]);
    const { ringDowns } = curvesOf(audio, fit, near);
    expect(ringDowns).toHaveLength(3);
    expect(ringDowns.every((r) => r.levelDb.every(Number.isFinite))).toBe(true);
  });
});
