import { describe, expect, test } from "vitest";
import { glance } from "../../../src/report/tap/glance.ts";
import { emptyMeasurement, noisyRecording, soundBell } from "../../support/sample-measurement.ts";
import { sampleMeasurement } from "../../support/sample-parts.ts";

/** Every position in per cent that the picture uses. */
const positions = (text: string) => [...text.matchAll(/"(-?[\d.]+)%"/g)].map(([, number]) => Number(number));

describe("glance", () => {
  test("glance(m) of nothing says so", () => {
    expect(glance(emptyMeasurement()).text).toContain("no partial was measured");
  });

  test("glance(m) pictures the named partials and says how many more there are", () => {
    const { text } = glance(soundBell());
    expect(text.match(/<tr data-mark/g)).toHaveLength(7);
    expect(text).toContain("1 more partial is in the table below.");
  });

  test("glance(m) without names pictures the strongest eight, ascending, and no deviation", () => {
    const specs = Array.from({ length: 12 }, (_, i) => ({
      frequencyHz: 300 + 100 * i,
      lossFactor: 3e-4,
      levelDb: -i * ((i % 2) + 1),
    }));
    const { text } = glance(sampleMeasurement(specs));
    const marks = [...text.matchAll(/<tr data-mark="(\d+)"/g)].map(([, mark]) => Number(mark));
    // Levels 0 -2 -2 -6 -4 -10 -6 -14 -8 -18 -10 -22 dB: 7, 9, 10 and 11 lose; of the two at -10 the first stays.
    expect(marks).toEqual([0, 1, 2, 3, 4, 5, 6, 8]);
    expect(text).not.toContain("strip-ideal");
  });

  test("glance(m) keeps every mark and interval inside its strip, a wide interval too", () => {
    for (const m of [soundBell(), noisyRecording()]) {
      for (const at of positions(glance(m).text)) {
        expect(at).toBeGreaterThanOrEqual(0);
        expect(at).toBeLessThanOrEqual(100);
      }
    }
  });

  test("glance(m) puts the ideal in the middle, flat to the left, sharp to the right", () => {
    const { text } = glance(soundBell());
    const row = (name: string) => text.split("<tr").find((each) => each.includes(`>${name}<`))!;
    const markOf = (name: string) => Number(/<svg x="([\d.]+)%"/.exec(row(name))![1]);
    expect(markOf("prime")).toBe(50);
    expect(markOf("tierce")).toBeLessThan(50);
    expect(markOf("octave nominal")).toBeGreaterThan(50);
  });
});
