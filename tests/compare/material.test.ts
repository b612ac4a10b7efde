import { describe, expect, test } from "vitest";
import { compareCastings } from "../../src/compare/index.ts";
import { emptyMeasurement, soundBell } from "../support/sample-measurement.ts";
import { estimate } from "../support/sample-parts.ts";
import { casting, inOtherAlloy } from "./support/sample-castings.ts";

const RATIO = 1.022;
const other = () => inOtherAlloy(RATIO, 0.5);

describe("materialOf(a, b, common)", () => {
  test("materialOf without paired partials is null", () => {
    expect(compareCastings([casting(emptyMeasurement()), casting(soundBell())]).material).toBeNull();
  });

  test("materialOf takes one size where the diameters are not known", () => {
    const { material } = compareCastings([casting(soundBell()), casting(other())]);
    expect(material!.soundSpeedRatio.value).toBeCloseTo(RATIO, 6);
    expect(material!.diameterRatio).toBeNull();
    expect(material!.expected).toBeNull();
    expect(material!.noExpectation).toContain("alloys were not given");
  });

  test("materialOf frees the ratio of the size by the diameters, and their errors come with them", () => {
    const { material } = compareCastings([
      casting(soundBell(), { diameterM: estimate(0.2, 0.0005), massKg: estimate(4, 0.01) }),
      casting(other(), { diameterM: estimate(0.198, 0.0005), massKg: estimate(3.9, 0.01) }),
    ]);
    expect(material!.soundSpeedRatio.value).toBeCloseTo(RATIO * 0.99, 5);
    expect(material!.soundSpeedRatio.ci95).toBeCloseTo(RATIO * 0.99 * Math.hypot(0.0025, 0.0005 / 0.198), 4);
    expect(material!.massRatio!.value).toBeCloseTo(0.975, 9);
  });

  test("materialOf sets published data beside it, never closer than 5 %", () => {
    const { material, findings } = compareCastings([
      casting(soundBell(), { alloy: "Cu90Sn10" }),
      casting(other(), { alloy: "Cu80Sn20" }),
    ]);
    const { soundSpeedRatio, sheets } = material!.expected!;
    // The trend of the sheets from 10 to 20 % tin, as the scaling plan gives it.
    expect(soundSpeedRatio.value).toBeCloseTo(1.033, 3);
    expect(soundSpeedRatio.ci95 / soundSpeedRatio.value).toBeGreaterThanOrEqual(0.05);
    expect(sheets).toContain("C91300");
    const { text } = findings.find(({ id }) => id === "material")!;
    expect(text).toMatch(/From published data 1\.033 ± 0\.0\d+ is expected; what was measured lies within/);
  });

  test("materialOf says why where no sheet lies near an alloy", () => {
    const { material } = compareCastings([
      casting(soundBell(), { alloy: "Al100" }),
      casting(other(), { alloy: "Cu80Sn20" }),
    ]);
    expect(material!.expected).toBeNull();
    expect(material!.noExpectation).toMatch(/no data sheet/);
  });
});
