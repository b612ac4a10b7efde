import fc from "fast-check";
import { compareCastings, writeCompareJson } from "../../../src/compare/index.ts";
import { planScale } from "../../../src/foundry/index.ts";
import { readTapJson, type TapMeasurement, writeTapJson } from "../../../src/measurement/index.ts";
import { htmlCompare, htmlReport, terminalCompare, terminalSummary } from "../../../src/report/index.ts";
import { changeJson, jsonChanges } from "../json-mutations.ts";
import { MEASUREMENTS } from "../measurements.ts";
import { mutated } from "../mutations.ts";
import {
  expectFiniteData,
  expectNoLostNumber,
  expectRefusal,
  expectWholeReport,
  hasControl,
} from "../outcome.ts";
import { OutcomeError, type Target } from "../target.ts";

export const changedMeasurements: fc.Arbitrary<unknown> = fc
  .record({ of: fc.nat(MEASUREMENTS.length - 1), changes: jsonChanges })
  .map(({ of, changes }) => changeJson(MEASUREMENTS[of], changes));

const FILES = MEASUREMENTS.map((measurement) => new TextEncoder().encode(JSON.stringify(measurement)));

/** Thousands of levels, right and wrong: what calls itself once a level would exhaust the stack. */
const DEEP = [
  "[".repeat(50000),
  `{"schema":${"[".repeat(50000)}`,
  `{"schema":"ringwright.tap/1","tool":${"[".repeat(9000)}${"]".repeat(9000)}}`,
  `${JSON.stringify(MEASUREMENTS[0]).slice(0, -1)},"more":${"[".repeat(9000)}${"]".repeat(9000)}}`,
];

const texts = fc.oneof(
  { arbitrary: changedMeasurements.map((json) => JSON.stringify(json) ?? ""), weight: 60 },
  { arbitrary: mutated(FILES, ["{", "[", '"']).map((bytes) => new TextDecoder().decode(bytes)), weight: 10 },
  { arbitrary: fc.constantFrom(...DEEP), weight: 1 },
);

const LOOK = { colour: false, width: 80 };
const SCRIPTS = { chartJsSource: "", script: "", audio: null, generatedAt: "2026-05-01 12:00" };

/** What every reader of a saved measurement makes of it. */
async function expectUsable(measurement: TapMeasurement): Promise<void> {
  const again = readTapJson(writeTapJson(measurement));
  expectFiniteData(JSON.parse(JSON.stringify(again)), "measurement");
  const summary = terminalSummary(measurement, LOOK);
  expectNoLostNumber(summary, "the summary");
  if (summary.split("\n").some(hasControl)) {
    throw new OutcomeError(`the summary holds a control character: ${JSON.stringify(summary.slice(0, 400))}`);
  }
  expectWholeReport(await htmlReport(measurement, SCRIPTS), "the report");
  const castings = [measurement, MEASUREMENTS[0]!].map((each, i) => ({
    measurement: each,
    label: `casting ${i + 1}`,
    alloy: i === 0 ? null : "Cu80Sn20",
    massKg: null,
    diameterM: null,
  }));
  const comparison = compareCastings(castings, 1, null);
  writeCompareJson(comparison);
  expectFiniteData(comparison, "comparison");
  expectNoLostNumber(terminalCompare(comparison, LOOK), "the comparison's summary");
  expectWholeReport(
    await htmlCompare(comparison, [measurement, MEASUREMENTS[0]!], SCRIPTS),
    "the comparison's report",
  );
}

function expectScalable(measurement: TapMeasurement): void {
  try {
    const plan = planScale({
      measurement,
      reference: "strike note",
      targetHz: 600,
      targetNote: null,
      size: {
        diameterM: { value: 0.3, ci95: 0.001 },
        heightM: null,
        wallM: null,
        massKg: { value: 20, ci95: 0.1 },
      },
      family: [],
      fromAlloy: null,
      toAlloy: null,
      wallOnly: false,
      contraction: null,
      temperature: null,
    });
    expectFiniteData(plan, "plan");
  } catch (error) {
    expectRefusal(error, ["InvalidPlanError"]);
  }
}

export const SAVED_TARGET: Target<{ text: string }> = {
  name: "saved",
  what: "saved measurements; those that are taken are summed up, drawn, compared and planned from",
  share: 15,
  limits: { cpuMs: 3000, cpuMsPerMegabyte: 60_000, memoryBytes: 160 * 2 ** 20, memoryPerByte: 500 },
  cases: texts.map((text) => ({ text })),
  async check({ text }) {
    const weightBytes = 2 * text.length;
    let measurement: TapMeasurement;
    try {
      measurement = readTapJson(text);
    } catch (error) {
      expectRefusal(error, ["MeasurementError"]);
      return { outcome: "refused", weightBytes };
    }
    await expectUsable(measurement);
    expectScalable(measurement);
    return { outcome: "accepted", weightBytes };
  },
};
