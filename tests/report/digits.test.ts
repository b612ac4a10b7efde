import { beforeAll, describe, expect, test } from "vitest";
import {
  htmlCompare,
  htmlPlan,
  htmlReport,
  htmlSeries,
  terminalCompare,
  terminalPlan,
  terminalSeries,
  terminalSummary,
} from "../../src/report/index.ts";
import { SAMPLE_PLANS } from "../foundry/plan-samples.ts";
import { crackedBell, noisyRecording, soundBell } from "../support/sample-measurement.ts";
import { twoAlloys } from "./compare/compared.ts";
import { sampleSeries } from "./series/sample-series.ts";
import { reportAssets } from "./support/assets.ts";
import {
  bareNumbers,
  digitsOf,
  fault,
  faultsIn,
  faultsInTables,
  onOneLine,
  shown,
  WITH_INTERVAL,
} from "./support/digits.ts";

const LOOK = { width: 100, colour: false };

let texts: Record<string, string>;
beforeAll(async () => {
  const assets = await reportAssets();
  const { comparison, measurements } = twoAlloys();
  const report = async (m: Parameters<typeof htmlReport>[0]) =>
    shown(await htmlReport(m, { ...assets, audio: null }));
  texts = {
    "sound bell": await report(soundBell()),
    "cracked bell": await report(crackedBell()),
    "noisy recording": await report(noisyRecording()),
    "sound bell, terminal": onOneLine(terminalSummary(soundBell(), LOOK)),
    "cracked bell, terminal": onOneLine(terminalSummary(crackedBell(), LOOK)),
    "noisy recording, terminal": onOneLine(terminalSummary(noisyRecording(), LOOK)),
    "comparison, terminal": onOneLine(terminalCompare(comparison, LOOK)),
    "series, terminal": onOneLine(terminalSeries(sampleSeries(3), LOOK)),
    comparison: shown(await htmlCompare(comparison, measurements, assets)),
    series: shown(await htmlSeries(sampleSeries(3), { ...assets, tapLink: () => null })),
  };
  for (const [name, make] of SAMPLE_PLANS) {
    texts[`plan: ${name}`] = shown(await htmlPlan(make(), "metric"));
    texts[`plan: ${name}, terminal`] = onOneLine(terminalPlan(make(), { ...LOOK, units: "us" }));
  }
}, 60_000);

describe("fault", () => {
  test.each<[string, string, string | null, string?]>([
    ["1.50", "0.25", null],
    ["1500", "120", null],
    ["0.5000000001", "0.0000000001", null],
    ["1.5", "0.25", "value and interval end at different digits"],
    ["1.500", "0.253", "3 digits of an interval"],
    ["1", "0", "an interval of nothing"],
    ["1500", "123", "more than two digits of an interval"],
    ["0.799980", "0.000065", "an interval finer than matters", "Hz"],
    ["0.8000", "0.0010", null, "Hz"],
  ])("fault(%j, %j) is %j", (value, ci95, wrong, unit) => {
    expect(fault(value, ci95, unit)).toBe(wrong);
  });
});

describe("faultsInTables", () => {
  test("faultsInTables(document) takes the unit from the head of the column", () => {
    const page =
      "<table><thead><tr><th>partial</th><th>split, Hz</th></tr></thead><tr><th>hum</th><td>0.799980 ± 0.000065</td></tr></table>";
    expect(faultsInTables(page)).toEqual({
      count: 1,
      faults: ["split, Hz: 0.799980 ± 0.000065: an interval finer than matters"],
    });
  });
});

describe("every number of a report", () => {
  // JCGM 100:2008 (GUM), 7.2.6: two digits of the interval, and the value to the same place.
  test.each([
    ["sound bell", 120],
    ["cracked bell", 40],
    ["noisy recording", 5],
    ["sound bell, terminal", 25],
    ["cracked bell, terminal", 15],
    ["noisy recording, terminal", 3],
    ["comparison", 120],
    ["comparison, terminal", 40],
    ["series", 90],
    ["series, terminal", 20],
  ])("of the %s ends where its interval does, and the interval has two digits", (name, least) => {
    const { count, faults } = faultsIn(texts[name]!);
    expect(count).toBeGreaterThan(least);
    expect(faults).toEqual([]);
  });

  test("of every plan ends where its interval does, and the interval has two digits", () => {
    for (const name of Object.keys(texts).filter((each) => each.startsWith("plan: ")))
      expect(faultsIn(texts[name]!).faults, name).toEqual([]);
  });

  test("without an interval has no more digits than a setting or a rounded figure can have", () => {
    for (const [name, text] of Object.entries(texts)) {
      for (const { number, context } of bareNumbers(text))
        expect(digitsOf(number), `${name}: ${number} in ${context}`).toBeLessThanOrEqual(6);
    }
  });

  test("of the main table is the measurement's own, rounded and never surer", () => {
    const bell = soundBell();
    const cells = [...texts["sound bell"]!.matchAll(WITH_INTERVAL)].map(([, value, ci95]) => [
      Number(value),
      Number(ci95),
    ]);
    for (const { frequencyHz, decayTimeS, levelDb } of bell.partials) {
      for (const { value, ci95 } of [frequencyHz, decayTimeS, levelDb]) {
        // Rounding to two digits takes at most half of the last from the interval: 5 % where it begins with 1.
        const same = cells.some(([v, c]) => Math.abs(v! - value) <= c! / 2 && c! >= 0.95 * ci95);
        expect(same, `${value} ± ${ci95}`).toBe(true);
      }
    }
  });
});
