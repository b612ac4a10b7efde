import { readFileSync } from "node:fs";
import Ajv2020 from "ajv/dist/2020.js";
import { describe, expect, it } from "vitest";
import { profileById } from "../../src/bell/index.ts";
import type { Finding } from "../../src/measurement/index.ts";
import { analyseSeries, readSeries, type SeriesInput } from "../../src/series/index.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { analysed, inventedSet, measureSet } from "./invented-sets.ts";

const schema = JSON.parse(
  readFileSync(new URL("../../docs/schemas/series-1.schema.json", import.meta.url), "utf8"),
);
const accepts = new Ajv2020({ strict: true, allowUnionTypes: true }).compile(schema);

/** A bell whose partials all lie so many cents from their targets. */
const bellAt = (strikeHz: number, cents: number, lossOver = 1) => ({
  findings: [] as Finding[],
  partials: [0.5, 1, 1.2, 1.5, 2].map((ratio, i) => {
    const hertz = strikeHz * ratio * 2 ** (cents / 1200);
    return {
      name: ["hum", "prime", "tierce", "quint", "nominal"][i]!,
      frequencyHz: { value: hertz, ci95: hertz * 1e-5 },
      decayTimeS: { value: 4000 / hertz / lossOver, ci95: 40 / hertz },
    };
  }),
});

function inputOf(
  text: string,
  measured: SeriesInput["measured"],
  over: Partial<SeriesInput> = {},
): SeriesInput {
  return {
    file: readSeries(text),
    profile: profileById("minor-third"),
    measured,
    failed: [],
    tool: { version: "0", method: "invented" },
    temperature: null,
    ...over,
  };
}

const row = (count: number, head = "") =>
  `set: s\n${head}bells:\n${Array.from({ length: count }, (_, i) => `  - {name: b${i}, target: ${500 + 50 * i}, passes: [{recordings: [b${i}.wav], metalC: ${15 + i}}]}`).join("\n")}\n`;

describe("analyseSeries", () => {
  it("analyseSeries of bells of which nothing was measured has nothing but reasons", () => {
    const result = analyseSeries(
      inputOf(row(2), [[null], [null]], { failed: [{ recording: "b0.wav", reason: "no strike" }] }),
    );
    expect(result).toMatchObject({ commonShiftCents: null, intervals: [], decaySpread: [], oddOnes: [] });
    expect(result.bells[0]).toMatchObject({
      meanCents: null,
      nextCut: null,
      nextCutReason: "no pass of this bell could be measured",
    });
    expect(result.findings.find(({ id }) => id === "failed-recordings")).toMatchObject({
      outcome: "attention",
    });
    accepts(JSON.parse(JSON.stringify(result)));
    expect(accepts.errors).toBeNull();
  });

  it("analyseSeries tells on of each pass what spoils its numbers, and of one without names why it has none", () => {
    const said = (id: string, title: string, outcome: "attention" | "good" = "attention") => [
      { id, title, outcome, text: "", evidence: [] },
    ];
    const spoiled = { ...bellAt(500, 0), findings: said("clock", "The sample rate seems wrong") };
    const still = { ...bellAt(550, 0), findings: said("warble", "The bell warbles") };
    const mixed = { ...bellAt(600, 0), findings: said("second-bell", "Two bells seem to sound") };
    const mixture = { ...mixed, partials: mixed.partials.map((partial) => ({ ...partial, name: null })) };
    const result = analyseSeries(inputOf(row(3), [[spoiled], [still], [mixture]]));
    const told = (id: string) => result.findings.find((finding) => finding.id === id)!;
    expect(told("spoiled-passes")).toMatchObject({ outcome: "attention", title: "Passes to record again" });
    expect(told("spoiled-passes").text).toContain("b0, b0.wav (The sample rate seems wrong). See");
    expect(told("failed-recordings").text).toContain(
      "asks for attention (Two bells seem to sound); record it again",
    );
    const clean = analyseSeries(inputOf(row(1), [[still]]));
    expect(clean.findings.find(({ id }) => id === "spoiled-passes")!.outcome).toBe("good");
  });

  it("analyseSeries names a pass whose partials the profile does not know", () => {
    const sound = bellAt(500, 0);
    const strange = { ...sound, partials: sound.partials.map((partial) => ({ ...partial, name: null })) };
    const result = analyseSeries(inputOf(row(1), [[strange]]));
    expect(result.bells[0]!.passes[0]!.measured).toBe(false);
    expect(result.failed).toEqual([
      {
        recording: "b0.wav",
        reason: expect.stringMatching(/^no partial of it could be named by the profile minor-third/),
      },
    ]);
  });

  it("analyseSeries gives the shift, the deviations and the intervals that were put in", () => {
    const measured = [[bellAt(500, 12)], [bellAt(550, 8)], [bellAt(600, 10)]];
    const result = analyseSeries(inputOf(row(3), measured));
    expect(result.commonShiftCents!.value).toBeCloseTo(10, 9);
    expect(result.bells[0]!.passes[0]!.partials.map(({ deviationCents }) => deviationCents.value)).toEqual(
      Array(5).fill(expect.closeTo(12, 9)),
    );
    // 1e-5 of a frequency is 1e-5 x 1200 / ln 2 cents.
    expect(result.bells[0]!.passes[0]!.partials[0]!.deviationCents.ci95).toBeCloseTo(0.01731, 5);
    const [first] = result.intervals;
    expect(first).toMatchObject({ from: "b0", to: "b1", partial: "hum" });
    expect(first!.targetCents).toBeCloseTo(1200 * Math.log2(1.1), 9);
    expect(first!.errorCents.value).toBeCloseTo(-4, 9);
    expect(result.bells[0]!.nextCutReason).toMatch(/nothing is known of cutting yet/);
  });

  it("analyseSeries anchored to the set moves every target by the common shift", () => {
    const measured = [[bellAt(500, 12)], [bellAt(550, 8)], [bellAt(600, 10)]];
    const result = analyseSeries(inputOf(row(3, "anchor: set\n"), measured));
    expect(result.commonShiftCents!.value).toBeCloseTo(10, 9);
    expect(result.bells.map(({ meanCents }) => meanCents!.value)).toEqual(
      [2, -2, 0].map((x) => expect.closeTo(x, 9)),
    );
    expect(result.bells[2]!.targetHz).toBeCloseTo(600 * 2 ** (10 / 1200), 6);
  });

  it("analyseSeries names the bell that is odd in pitch, leaves it out of the shift, and the one odd in decay", () => {
    const measured = [0, 1, 2, 3, 4, 5].map((i) => [
      bellAt(500 + 50 * i, i === 3 ? 60 : i % 2, i === 1 ? 4 : 1 + 0.01 * i),
    ]);
    const result = analyseSeries(inputOf(row(6), measured));
    expect(result.oddOnes.filter(({ what }) => what === "pitch").map(({ bell }) => bell)).toEqual(["b3"]);
    expect(result.commonShiftCents!.value).toBeCloseTo(0.4, 9);
    expect([
      ...new Set(result.oddOnes.filter(({ what }) => what === "decay").map(({ bell }) => bell)),
    ]).toEqual(["b1"]);
    expect(result.findings.filter(({ outcome }) => outcome === "attention").map(({ id }) => id)).toEqual([
      "odd-pitch",
      "odd-decay",
    ]);
  });

  it("analyseSeries notes temperatures, and corrects only when asked, with the coefficient's interval", () => {
    const measured = [[bellAt(500, 0)], [bellAt(550, 0)]];
    expect(analyseSeries(inputOf(row(2), measured)).bells[1]!.passes[0]).toMatchObject({
      metalC: 16,
      temperatureCorrected: false,
    });
    const temperature = { toC: 15, coefficientPerK: { value: -2e-4, ci95: 1e-4 }, source: "invented" };
    const result = analyseSeries(inputOf(row(2), measured, { temperature }));
    const [cold, warm] = result.bells.map((bell) => bell.passes[0]!.partials[0]!);
    expect(cold!.deviationCents.value).toBeCloseTo(0, 9);
    // One kelvin warmer than wanted sounds 2e-4 flat, so it is raised by 1200 / ln 2 x 2e-4 cents.
    expect(warm!.deviationCents.value).toBeCloseTo(0.3462, 3);
    expect(warm!.deviationCents.ci95).toBeCloseTo(Math.hypot(0.01731, 0.17312), 3);
    expect(result.findings.find(({ id }) => id === "temperature")!.text).toContain("invented");
  });

  it("analyseSeries takes a profile's own strike note: the fundamental of a handbell, half the nominal of a tower bell", () => {
    const bell = {
      findings: [],
      partials: [
        { ...bellAt(500, 0).partials[0]!, name: "fundamental", frequencyHz: { value: 500, ci95: 0.01 } },
      ],
    };
    const result = analyseSeries(inputOf(row(1), [[bell]], { profile: profileById("handbell") }));
    expect(result.bells[0]!.passes[0]!.partials[0]!.deviationCents.value).toBeCloseTo(0, 9);
  });
});

describe("analyseSeries on cuts", () => {
  it("analyseSeries tells sensitivities, projections and cuts, which the published schema accepts", () => {
    const random = makeRandom(7);
    const result = analysed(inventedSet(random), random);
    accepts(JSON.parse(JSON.stringify(result)));
    expect(accepts.errors).toBeNull();
    const [bell] = result.bells;
    expect(bell!.sensitivity.map(({ partial, cuts, bells }) => [partial, cuts, bells])).toEqual(
      ["hum", "prime", "tierce", "quint", "nominal"].map((partial) => [partial, 36, 12]),
    );
    expect(bell!.nextCut!.removeG).toBeGreaterThan(0);
  });

  it("analyseSeries with one bell of two cuts says that they are too few", () => {
    const random = makeRandom(8);
    const [bell] = inventedSet(random);
    const input = measureSet([bell!], random);
    input.file.bells[0]!.passes.pop();
    input.measured[0]!.pop();
    expect(analyseSeries(input).bells[0]).toMatchObject({
      sensitivity: [],
      nextCut: null,
      nextCutReason:
        "too few cuts at one place on this and similar bells: 2 of the 3 that a sensitivity needs",
    });
  });

  it("analyseSeries lends the cut of a pass that failed to the next one, and cuts nothing from a failed last pass", () => {
    const random = makeRandom(9);
    const truth = inventedSet(random);
    const input = measureSet(truth, random);
    input.measured[0]![1] = null;
    const result = analyseSeries(input);
    expect(result.bells[0]!.sensitivity[0]!.cuts).toBe(35);
    input.measured[0]![3] = null;
    expect(analyseSeries(input).bells[0]!.nextCutReason).toMatch(/last pass could not be measured/);
  });

  it("analyseSeries keeps bells of another alloy, and bells more than an octave off, out of the pool", () => {
    const random = makeRandom(10);
    const truth = inventedSet(random, 3);
    const input = measureSet(truth, random);
    input.file.bells[2]!.alloy = "Cu90Sn10";
    expect(analyseSeries(input).bells[0]!.sensitivity[0]).toMatchObject({ cuts: 6, bells: 2 });
    input.file.bells[1]!.targetHz *= 4;
    expect(analyseSeries(input).bells[0]!.sensitivity[0]).toMatchObject({ cuts: 3, bells: 1 });
  });

  it("analyseSeries recommends nothing where every partial is below its target and cutting lowers it", () => {
    const random = makeRandom(11);
    const truth = inventedSet(random).map((bell) => ({
      ...bell,
      cents: bell.cents.map((pass) =>
        Object.fromEntries(
          Object.entries(pass).map(([name, cents]) => [name, name === "quint" ? cents + 60 : cents - 120]),
        ),
      ),
    }));
    const [bell] = analysed(truth, random).bells;
    expect(bell!.nextCut).toBeNull();
    expect(bell!.nextCutReason).toMatch(
      /^inner lip: every partial is at its target, past it, or cannot be reached/,
    );
    const hum = bell!.projections.find(({ partial }) => partial === "hum")!;
    expect(hum).toMatchObject({ removeG: null, reason: "cannot be reached by removing metal there" });
  });
});
