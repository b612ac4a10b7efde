import { describe, expect, test } from "vitest";
import { beatPeriod, beatWords, plainnessDb } from "../../src/findings/warble-words.ts";
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
    const slow = (s: PartialSpec) => (s.name === "nominal" ? { ...s, splitHz: 3, weakerDb: 1 } : s);
    const finding = warble(sampleMeasurement(SOUND_SPECS.map(slow)));
    expect(finding.outcome).toBe("attention");
    expect(finding.text).toMatch(/^The nominal has 3\.0000 \u00b1 0\.0082 beats a second, deep\./);
    expect(finding.text).toContain("Give the pattern's symmetry with --ridges");
    expect(columnOf(finding, "can the pattern split it")).toEqual(Array(3).fill("ridges not given"));
  });

  test("warble of slow beats in two of eight partials is one line: every bell has split partials", () => {
    const finding = warble(soundBell());
    expect(finding.outcome).toBe("note");
    expect(finding.text).toBe("The superquint has one beat every 1.111 \u00b1 0.019 s, clear.");
    expect(columnOf(finding, "partial")).toEqual(["prime", "superquint"]);
  });

  test("warble of a split whose interval holds no split at all asks for no attention", () => {
    const m = withNominal({ splitHz: 4, weakerDb: 1 });
    const unsure = {
      ...m,
      partials: m.partials.map((p) =>
        p.doublet === null ? p : { ...p, doublet: { ...p.doublet, splitHz: { value: 4, ci95: 6 } } },
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
    const finding = warble(sampleMeasurement(SOUND_SPECS.map((s) => ({ ...s, splitHz: 4, weakerDb: 1 }))));
    expect(finding.text.match(/beats a second/g)).toHaveLength(3);
    expect(columnOf(finding, "partial")).toHaveLength(SOUND_SPECS.length);
  });
});

describe("plainnessDb", () => {
  test("plainnessDb of the whole sound's beat at the best rate is its depth, up to where deeper is no plainer", () => {
    const m = sampleMeasurement([
      { name: null, frequencyHz: 1000, lossFactor: 1e-4, levelDb: 0, splitHz: 4, weakerDb: 10 },
    ]);
    const [only] = m.partials;
    const { doublet } = only!;
    // 20 lg((1 + r) / (1 - r)) with r = 10^(-10/20).
    expect(plainnessDb(only!, doublet!, m.partials)).toBeCloseTo(5.69, 1);
    expect(plainnessDb(only!, { ...doublet!, beatDepthDb: 60 }, m.partials)).toBeCloseTo(30, 6);
    // Half the share beside another as loud; at a quarter of the rate 2 / (1/4 + 4) = 8/17.
    const two = [only!, { ...only!, doublet: null }];
    expect(plainnessDb(only!, doublet!, two)).toBeCloseTo(5.69 / 2, 1);
    const slow = { ...doublet!, splitHz: { ...doublet!.splitHz, value: 1 } };
    expect(plainnessDb(only!, slow, m.partials)).toBeCloseTo((5.69 * 8) / 17, 1);
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
