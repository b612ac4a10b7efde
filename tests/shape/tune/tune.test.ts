import { beforeAll, describe, expect, it } from "vitest";
import type { Estimate } from "../../../src/measurement/index.ts";
import { thicknessM } from "../../../src/shape/answers.ts";
import type { WallMesh } from "../../../src/shape/mesh/mesh.ts";
import { meshProfile, pairedProfile } from "../../../src/shape/mesh/wall-mesh.ts";
import { thinned } from "../../../src/shape/mesh/wall-moves.ts";
import { bothWalls, wallBands } from "../../../src/shape/sensitivity.ts";
import type { Target } from "../../../src/shape/targets.ts";
import { targetModes } from "../../../src/shape/tune/answer.ts";
import { BANDS } from "../../../src/shape/tune/places.ts";
import { type TunePass, type TuneResult, tune } from "../../../src/shape/tune/tune.ts";
import { bellProfile, MATERIAL, ratiosOf } from "../support/bells.ts";

const cents = (a: number, b: number) => 1200 * Math.log2(a / b);

const TARGETS: Target[] = [
  { name: "nominal", m: 4, order: 1, ratio: 0 },
  { name: "hum", m: 2, order: 1, ratio: 0 },
  { name: "prime", m: 2, order: 2, ratio: 0 },
  { name: "tierce", m: 3, order: 1, ratio: 0 },
  { name: "quint", m: 3, order: 2, ratio: 0 },
];

/** Numbers that look random and repeat. */
function generator(seed: number): () => number {
  let state = seed;
  const uniform = () => {
    state = (state * 1664525 + 1013904223) % 4294967296;
    return (state + 0.5) / 4294967296;
  };
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}

describe("tune", () => {
  const paired = pairedProfile(bellProfile("church"));
  const drawn = meshProfile(paired, 40, 2);
  const forecast = { paired, material: MATERIAL };
  const wantedHz = targetModes(drawn, MATERIAL, TARGETS).map(({ frequencyHz }) => frequencyHz);
  const ratios = ratiosOf(
    "own",
    "nominal",
    TARGETS.map(({ name, m }, i) => ({ name, m, hz: wantedHz[i]! })),
  );
  /** Another metal than the forecast takes. */
  const metal = { youngPa: 103e9, densityKgM3: 8750, poisson: 0.345 };
  const measure = (mesh: WallMesh): Map<string, Estimate> =>
    new Map(
      targetModes(mesh, metal, TARGETS).map(({ frequencyHz }, i) => [
        TARGETS[i]!.name,
        { value: frequencyHz, ci95: 1e-4 * frequencyHz },
      ]),
    );
  const offCents = (mesh: WallMesh): number[] => {
    const hz = targetModes(mesh, metal, TARGETS).map(({ frequencyHz }) => frequencyHz);
    return hz.map((each, i) => cents(each / hz[0]!, wantedHz[i]! / wantedHz[0]!));
  };
  const worst = (off: number[]) => Math.max(...off.map(Math.abs));

  /** Walls off by 3 % here and there, and thicker by 4 %, as a founder leaves them to be tuned. */
  const casting = (seed: number): WallMesh => {
    const gauss = generator(seed);
    const stations = bothWalls(drawn).inner;
    const local = wallBands(stations, 8).map(({ depth }) => ({ depth, by: 0.03 * gauss() }));
    const thicker = thicknessM(drawn).map(
      (t, j) => -t * local.reduce((sum, { depth, by }) => sum + by * depth[j]!, 0.04),
    );
    return thinned(drawn, stations, Float64Array.from(thicker));
  };
  const cut = (mesh: WallMesh, pass: TunePass): WallMesh => {
    const bands = wallBands(bothWalls(drawn).inner, BANDS);
    const depthM = new Float64Array(mesh.columns);
    for (const { zMm, depthMm } of pass.cuts) {
      const away = bands.map(({ zM }) => Math.abs(1000 * zM - zMm));
      const band = bands[away.indexOf(Math.min(...away))]!;
      for (let j = 0; j < depthM.length; j++) depthM[j]! += 1e-3 * depthMm * band.depth[j]!;
    }
    return thinned(mesh, bothWalls(mesh).inner, depthM);
  };

  interface Run {
    offs: number[][];
    plans: TuneResult[];
  }
  let runs: Run[] = [];
  beforeAll(() => {
    runs = [1, 2, 3, 4, 5].map((seed) => {
      let mesh = casting(seed);
      const run: Run = { offs: [offCents(mesh)], plans: [] };
      for (let pass = 0; pass < 2; pass++) {
        const plan = tune({
          forecast,
          ratios,
          measured: measure(mesh),
          walls: ["inner"],
          mostM: null,
          aim: "smoothest",
        });
        run.plans.push(plan);
        if (plan.passes.length > 0) mesh = cut(mesh, plan.passes[0]!);
        run.offs.push(offCents(mesh));
      }
      return run;
    });
  }, 120_000);

  it("tune brings five castings of walls and metal that it does not know within 2 cents in two passes", () => {
    for (const { offs } of runs) {
      expect(worst(offs[0]!)).toBeGreaterThan(5);
      expect(worst(offs[2]!)).toBeLessThan(2);
    }
  });

  it("tune takes no partial past its ratio by more than the measurement could tell", () => {
    const past = runs.flatMap(({ offs }) =>
      [0, 1].flatMap((pass) =>
        offs[pass]!.map((off, i) => (off * offs[pass + 1]![i]! < 0 ? Math.abs(offs[pass + 1]![i]!) : 0)),
      ),
    );
    // 40 chances; each pass stays short of all its partials in 95 of 100, so two slips at most, and those small.
    expect(past.filter((each) => each > 0.3).length).toBeLessThanOrEqual(2);
    expect(Math.max(...past)).toBeLessThan(2);
  });

  it("tune tells intervals that hold what comes of the cut, neither too narrow nor ten times too wide", () => {
    const away = runs.flatMap(({ offs, plans }) =>
      plans.flatMap(({ passes }, pass) =>
        passes.length === 0
          ? []
          : passes[0]!.partials.slice(1).map(({ name, offCents: { value, ci95 } }) => {
              const i = TARGETS.findIndex((target) => target.name === name);
              return (1.96 * (offs[pass + 1]![i]! - value)) / ci95;
            }),
      ),
    );
    const rms = Math.sqrt(away.reduce((sum, each) => sum + each * each, 0) / away.length);
    // Some 40 of unit spread: their root mean square lies within 0.75 and 1.25; the spread itself is known to a third.
    expect(rms).toBeGreaterThan(0.4);
    expect(rms).toBeLessThan(1.6);
  });

  it("tune removes metal only, within the depth that was given", () => {
    const plan = tune({
      forecast,
      ratios,
      measured: measure(casting(1)),
      walls: ["inner", "outer"],
      mostM: 4e-4,
      aim: "least metal",
    });
    const total = new Map<string, number>();
    for (const { cuts } of plan.passes) {
      for (const { wall, zMm, depthMm } of cuts) {
        expect(depthMm).toBeGreaterThan(0);
        total.set(`${wall} ${zMm}`, (total.get(`${wall} ${zMm}`) ?? 0) + depthMm);
      }
    }
    for (const depth of total.values()) expect(depth).toBeLessThanOrEqual(0.4 + 1e-9);
  });

  it("tune leaves a bell alone that has its ratios", () => {
    const measured = new Map(
      TARGETS.map(({ name }, i): [string, Estimate] => [
        name,
        { value: wantedHz[i]!, ci95: 1e-4 * wantedHz[i]! },
      ]),
    );
    const plan = tune({ forecast, ratios, measured, walls: ["inner"], mostM: null, aim: "smoothest" });
    expect(plan.passes).toEqual([]);
    expect(plan.notReached).toEqual([]);
  });

  it("tune asks for two partials that have a ratio", () => {
    const measured = new Map([["hum", { value: 200, ci95: 0.1 }]]);
    const asked = { forecast, ratios, measured, walls: ["inner"] as const, mostM: null };
    expect(() => tune({ ...asked, aim: "smoothest" })).toThrow(/fewer than two partials/);
  });
});
