import { describe, expect, test } from "vitest";
import { placePins } from "../../src/bell/pins.ts";
import { profileById } from "../../src/bell/profiles.ts";

const PROFILE = profileById("minor-third");
const BELL = Float64Array.of(200, 400, 480, 600, 800);
const indexOf = (name: string) => PROFILE.partials.findIndex((partial) => partial.name === name);

describe("placePins(pins, frequencyHz, profile)", () => {
  test("placePins({}) pins nothing, and on no partials nothing", () => {
    expect(placePins({}, BELL, PROFILE)).toEqual({ pinned: new Int32Array(5).fill(-1), warnings: [] });
    const none = placePins({ hum: 200 }, new Float64Array(0), PROFILE);
    expect(none.warnings).toEqual([
      "pin hum=200 was left out: no partial was measured within 50 cents of it.",
    ]);
  });

  test.each([
    [{ hum: Number.NaN }, /pin hum=NaN was left out: it is not a frequency/],
    [{ hum: -3 }, /pin hum=-3 was left out: it is not a frequency/],
    [{ hum: Number.POSITIVE_INFINITY }, /it is not a frequency/],
    [{ humm: 200 }, /no partial of that name, it has hum, prime, tierce/],
    [{ hum: 210 }, /no partial was measured within 50 cents of it, the nearest is at 200\.0 Hz/],
    [{ hum: 400, prime: 200 }, /pin prime=200 was left out: it contradicts the pin of hum/],
    [{ hum: 400, prime: 400 }, /pin prime=400 was left out: it contradicts the pin of hum/],
    [{ prime: 400, fundamental: 480 }, /pin fundamental=480 was left out: it contradicts the pin of prime/],
    [{ hum: 0 }, /pin hum=0 was left out: it is not a frequency/],
    [{ prime: 200, hum: 400 }, /pin hum=400 was left out: it contradicts the pin of prime/],
    [{ prime: 400, hum: 400 }, /pin hum=400 was left out: it contradicts the pin of prime/],
    [{ prime: 480, fundamental: 400 }, /pin fundamental=400 was left out: it contradicts the pin of prime/],
  ])("placePins(%j) warns in one sentence", (pins, message) => {
    const { warnings } = placePins(pins, BELL, PROFILE);
    expect(warnings).toHaveLength(1);
    expect(warnings[0]).toMatch(message);
    expect(warnings[0]).toMatch(/^[^.]*(\.\d[^.]*)*\.$/);
  });

  test("placePins() takes the nearest partial within 50 cents, and other names of it", () => {
    for (const pins of [
      { nominal: 805, Fundamental: 395 },
      { " prime ": 395, nominal: 805 },
    ]) {
      const { pinned, warnings } = placePins(pins, BELL, PROFILE);
      expect(warnings).toEqual([]);
      expect([...pinned]).toEqual([-1, indexOf("prime"), -1, -1, indexOf("nominal")]);
    }
  });

  test("placePins() measures the window in cents: 50 inside, 51 outside", () => {
    expect(placePins({ hum: 200 * 2 ** (49.9 / 1200) }, BELL, PROFILE).warnings).toEqual([]);
    expect(placePins({ hum: 200 * 2 ** (-51 / 1200) }, BELL, PROFILE).warnings).toHaveLength(1);
  });
});
