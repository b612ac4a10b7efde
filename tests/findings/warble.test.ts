import { describe, expect, test } from "vitest";
import { beatPeriod, beatWords } from "../../src/findings/warble-words.ts";
import type { TapMeasurement } from "../../src/measurement/index.ts";
import { noisyRecording, SOUND_SPECS, soundBell } from "../support/sample-measurement.ts";
import { type PartialSpec, sampleMeasurement } from "../support/sample-parts.ts";
import { columnOf, findingOf } from "./support.ts";

const warble = (m: TapMeasurement) => findingOf("warble", m);

/** The sound bell, its nominal split as asked and no other partial split. */
function withNominal(spec: Partial<PartialSpec>, ridges: number | null = null): TapMeasurement {
  const specs = SOUND_SPECS.map(({ splitHz: _, ...s }) => (s.name === "nominal" ? { ...s, ...spec } : s));
  const m = sampleMeasurement(specs);
  return { ...m, options: { ...m.options, ridges } };
}

describe("warble", () => {
  test("warble is not measurable where the ring-down is no free decay", () => {
    expect(warble(noisyRecording()).outcome).toBe("not-measurable");
  });

  test("warble of a bell without doublets is good, and says what would stay unseen", () => {
    const finding = warble(withNominal({}));
    expect(finding.outcome).toBe("good");
    expect(finding.text).toBe(
      "Each of 8 partials rings as a single line. Beats slower than about one in a partial's ring time would not be seen.",
    );
  });

  test("warble tells slow beats by their period and fast ones by their number, strongest partial first", () => {
    const finding = warble(soundBell());
    expect(finding.outcome).toBe("attention");
    expect(finding.text).toMatch(
      /^The superquint has one beat every 1\.111 \u00b1 0\.019 s, clear\. The prime has one beat every 2\.381 \u00b1 0\.020 s, deep\./,
    );
    expect(finding.text).toContain("Give the pattern's symmetry with --ridges");
    expect(columnOf(finding, "can the pattern split it")).toEqual(["ridges not given", "ridges not given"]);
    expect(warble(withNominal({ splitHz: 3 })).text).toMatch(
      /^The nominal has 3\.0000 \u00b1 0\.0082 beats a second/,
    );
  });

  test("warble of a split whose interval holds no split at all asks for no attention", () => {
    const m = withNominal({ splitHz: 0.8 });
    const unsure = {
      ...m,
      partials: m.partials.map((p) =>
        p.doublet === null ? p : { ...p, doublet: { ...p.doublet, splitHz: { value: 0.8, ci95: 1.2 } } },
      ),
    };
    expect(warble(m).outcome).toBe("attention");
    expect(warble(unsure).outcome).toBe("note");
  });

  test.each([
    // m = 4, so 2m = 8 (Perrin & Charnley's selection rule; K = 1 is no symmetry at all).
    [1, "can cause it, and so can the casting or the mounting"],
    [4, "can cause it, and so can the casting or the mounting"],
    [8, "can cause it, and so can the casting or the mounting"],
    [3, "cannot cause it: it is the casting's or the mounting's"],
    [16, "cannot cause it: it is the casting's or the mounting's"],
  ])("warble with %d ridges says that the pattern's symmetry %s", (ridges, words) => {
    const finding = warble(withNominal({ splitHz: 3 }, ridges));
    expect(finding.text).toContain(`the pattern's ${ridges}-fold symmetry ${words}.`);
    expect(columnOf(finding, "nodal meridians")).toEqual([4]);
  });

  test.each([{ name: null, nodalMeridians: null }, { nodalMeridians: null }, { nameConfidence: 0.5 }])(
    "warble of a split partial with %j says that its meridians are not known",
    (spec) => {
      const finding = warble(withNominal({ splitHz: 3, ...spec }, 8));
      expect(finding.text).toContain("its number of nodal meridians is not known");
      expect(columnOf(finding, "can the pattern split it")).toEqual(["meridians unknown"]);
    },
  );

  // Depth of the beat of members d dB apart: 20 lg((1 + r) / (1 - r)), r = 10^(-d/20).
  test.each([
    ["a beat of 1.4 dB", { splitHz: 3, weakerDb: 22 }, "slight"],
    ["a beat of 0.2 dB", { splitHz: 3, weakerDb: 40 }, "hardly heard"],
    ["a partial 30 dB under the strongest", { splitHz: 3, levelDb: -30, weakerDb: 3 }, "deep"],
    ["a split of 40 Hz", { splitHz: 40 }, "heard as roughness"],
    ["a beat slower than the ring", { splitHz: 0.1 }, "heard as uneven decay"],
  ])("warble does not ask for attention to %s", (_, spec, words) => {
    const finding = warble(withNominal(spec));
    expect(finding.outcome).toBe("note");
    expect(finding.text).toContain(words);
  });

  test("warble tells three partials in words and all in the table", () => {
    const finding = warble(sampleMeasurement(SOUND_SPECS.map((s) => ({ ...s, splitHz: 2 }))));
    expect(finding.text.match(/beats a second/g)).toHaveLength(3);
    expect(columnOf(finding, "partial")).toHaveLength(SOUND_SPECS.length);
  });
});

describe("beatPeriod", () => {
  test("beatPeriod is null while the split may be nothing", () => {
    expect(beatPeriod({ value: 0, ci95: 0.1 })).toBeNull();
    expect(beatPeriod({ value: 0.2, ci95: 0.1 })).toBeNull();
    expect(beatWords({ value: 0.2, ci95: 0.1 })).toBe("0.20 \u00b1 0.10 beats a second");
  });

  test("beatPeriod carries the split's relative half-width", () => {
    expect(beatPeriod({ value: 0.5, ci95: 0.05 })).toEqual({ value: 2, ci95: 0.2 });
  });
});
