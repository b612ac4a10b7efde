import type { Profile as RatioProfile } from "../../bell/index.ts";
import type { Estimate } from "../../measurement/index.ts";
import { InvalidShapeError } from "../error.ts";
import { meshProfile, type PairedProfile } from "../mesh/wall-mesh.ts";
import type { Wall } from "../mesh/wall-moves.ts";
import { CENTS_PER_NEPER } from "../sensitivity.ts";
import type { Material } from "../solver/material.ts";
import { SD_TO_CI95 } from "../spread.ts";
import { aimedTargets, referenceTarget, type Target } from "../targets.ts";
import { type Answer, answering } from "./answer.ts";
import { fittedMesh } from "./fit-walls.ts";
import { neighboursOf, type Place, placesOf } from "./places.ts";
import { type CutProgramme, leastCut } from "./programme.ts";

export interface TuneRequest {
  readonly forecast: { readonly paired: PairedProfile; readonly material: Material };
  readonly ratios: RatioProfile;
  /** What the casting sounds now, by the names of the ratios' partials. */
  readonly measured: ReadonlyMap<string, Estimate>;
  readonly walls: readonly Wall[];
  /** No cut is deeper than this, m; without it a share of the wall. */
  readonly mostM: number | null;
  readonly aim: CutProgramme["aim"];
}

/** Depth to take off around one height. */
export interface Cut {
  readonly wall: Wall;
  readonly zMm: number;
  readonly rMm: number;
  readonly depthMm: number;
}

export interface TunedPartial {
  readonly name: string;
  /** Away from its ratio to the reference, cents; nothing for the reference itself. */
  readonly offCents: Estimate;
  readonly frequencyHz: Estimate;
}

/** One pass: what to take off and what comes of it. */
export interface TunePass {
  readonly cuts: Cut[];
  readonly removedKg: number;
  /** After it, as predicted. */
  readonly partials: TunedPartial[];
}

export interface TuneResult {
  readonly ratios: string;
  readonly reference: string;
  readonly aim: CutProgramme["aim"];
  /** As measured, before any cut. */
  readonly before: TunedPartial[];
  readonly passes: TunePass[];
  /** What stays off by more than its interval where all metal that may go is gone. */
  readonly notReached: string[];
}

/**
 * One standard deviation of what a cut does against what the drawn bell says, as a part of the root of the sum over the bands of
 * what each does. Computed on invented castings whose walls are off by 3 % here and there and 2 to 4 % everywhere, in
 * another metal; tests/shape/tune/tune.test.ts holds it to them.
 */
export const SLOPE_SPREAD = 0.035;
/** Where a cut does less than this it is not worth a set-up, mm. */
const LEAST_CUT_MM = 0.005;
const MOST_PASSES = 3;
/** Passes are planned until nothing is off by more, cents. */
const GOOD_CENTS = 0.5;
/** How often the programme is written anew about the depths it found. */
const ROUNDS = 4;
/** One-sided normal quantile for a chance of 5 % shared among n (any table; beyond eight the last is near enough). */
const Z_SHARED = [1.645, 1.96, 2.128, 2.241, 2.326, 2.394, 2.45, 2.498];
/** Differences of two states are wanted here, so a mesh of the first fineness will do. */
const FINENESS = [40, 2] as const;

/** Depths so far, and what the drawn bell does with them. */
interface State {
  readonly depth: number[];
  readonly answer: Answer;
}

/** What stays the same from pass to pass. The reference is the first of the targets. */
interface Task {
  readonly targets: readonly Target[];
  readonly places: readonly Place[];
  readonly aim: CutProgramme["aim"];
  at(depth: number[]): State;
}

/**
 * Where to take metal off so that the measured casting comes to its ratios. How partials answer is the drawn bell's, what is
 * off the casting's own, so the model's walls and alloy need not be exact: measure, cut, measure again. Each pass stops
 * short by the interval, so that in 95 % of cases none is taken past its ratio.
 *
 * @throws InvalidShapeError where fewer than two partials are measured that have a ratio
 */
export function tune(request: TuneRequest): TuneResult {
  const { ratios, measured, aim } = request;
  const found = aimedTargets(ratios).filter(({ name }) => measured.has(name));
  if (found.length < 2) {
    throw new InvalidShapeError(
      "the measurement names fewer than two partials that have a ratio; pin them with --pin when measuring",
    );
  }
  const reference = referenceTarget(ratios, found);
  const targets = [reference, ...found.filter((target) => target !== reference)];
  const task = taskOf(request, targets);
  const zero = task.at(task.places.map(() => 0));
  const hz = targets.map(({ name }) => measured.get(name)!);
  const start = targets.map((target) => offCents(target, reference, measured));
  const passes: TunePass[] = [];
  let [off, before] = [start, zero];
  while (passes.length < MOST_PASSES) {
    const whole = leadingTo(
      task,
      before,
      off.map(({ value }) => -value),
    );
    const short = off.map(
      (each, i) => -each.value * shortened(each, spreadCents(before, whole, i), off.length - 1),
    );
    const after = leadingTo(task, before, short);
    if (after.depth.every((each, k) => each === before.depth[k])) break;
    const now = off.map(({ value, ci95 }, i) => ({
      value: value + movedAgainst(before, after, i),
      ci95: i === 0 ? 0 : Math.hypot(ci95, SD_TO_CI95 * spreadCents(before, after, i)),
    }));
    passes.push({
      ...cutsOf(task, before, after),
      partials: partialsOf(targets, now, hz, zero, before, after),
    });
    if (now.every(({ value }) => Math.abs(value) < GOOD_CENTS)) break;
    // Before the next pass the casting is measured again, so what was uncertain of this one is gone.
    off = now.map(({ value }, i) => ({ value, ci95: start[i]!.ci95 }));
    before = after;
  }
  const all = leadingTo(
    task,
    zero,
    start.map(({ value }) => -value),
  );
  return {
    ratios: ratios.id,
    reference: reference.name,
    aim,
    before: targets.map(({ name }, i) => ({ name, offCents: start[i]!, frequencyHz: hz[i]! })),
    passes,
    notReached: targets
      .filter((_, i) => Math.abs(start[i]!.value + movedAgainst(zero, all, i)) > Math.max(1, start[i]!.ci95))
      .map(({ name }) => name),
  };
}

function taskOf({ forecast, walls, mostM, aim, measured }: TuneRequest, targets: readonly Target[]): Task {
  const drawn = meshProfile(forecast.paired, ...FINENESS);
  const mesh = fittedMesh(drawn, forecast.material, targets, measured);
  const places = placesOf(mesh, forecast.material, walls, mostM);
  const answer = answering(
    mesh,
    forecast.material,
    targets,
    places.map(({ band }) => band),
  );
  return { targets, places, aim, at: (depth) => ({ depth, answer: answer(depth) }) };
}

/** The cut that moves each target so far: a linear programme about depths that it improves itself. */
function leadingTo(task: Task, before: State, wantedCents: readonly number[]): State {
  const { places, aim } = task;
  let state = before;
  for (let round = 0; round < ROUNDS; round++) {
    const rows = task.targets.slice(1).map((_, i) => againstReference(state, i + 1));
    const depth = leastCut({
      centsPerMm: rows,
      // By the straight line through this state, counted from the depths before the pass.
      wantedCents: rows.map(
        (row, i) =>
          wantedCents[i + 1]! -
          movedAgainst(before, state, i + 1) +
          row.reduce((sum, each, k) => sum + each * (state.depth[k]! - before.depth[k]!), 0),
      ),
      kgPerMm: places.map(({ kgPerMm }) => kgPerMm),
      mostMm: places.map(({ mostMm }, k) => Math.max(0, mostMm - before.depth[k]!)),
      neighbours: neighboursOf(places),
      aim,
    });
    state = task.at(before.depth.map((each, k) => each + (depth[k]! < LEAST_CUT_MM ? 0 : depth[k]!)));
  }
  return state;
}

/** Cents a millimetre of target i, less the reference's. */
function againstReference({ answer: { centsPerMm } }: State, i: number): number[] {
  return centsPerMm[i]!.map((each, k) => each - centsPerMm[0]![k]!);
}

/** How far target i goes against the reference from one state to another, cents. */
function movedAgainst(from: State, to: State, i: number): number {
  const moved = ({ answer: { movedCents } }: State) => movedCents[i]! - movedCents[0]!;
  return moved(to) - moved(from);
}

/** One standard deviation of what a cut does to target i against the reference, cents; of the reference itself, in all. */
function spreadCents(from: State, to: State, i: number): number {
  const row = i === 0 ? from.answer.centsPerMm[0]! : againstReference(from, i);
  return SLOPE_SPREAD * Math.hypot(...row.map((each, k) => each * (to.depth[k]! - from.depth[k]!)));
}

/** Which part of the way can be gone so that the chance of going too far stays within its share. */
function shortened({ value, ci95 }: Estimate, spread: number, others: number): number {
  const z = Z_SHARED[Math.min(others, Z_SHARED.length) - 1]!;
  const left = Math.abs(value) - (z * ci95) / SD_TO_CI95;
  return left <= 0 ? 0 : left / (Math.abs(value) + z * spread);
}

function offCents(target: Target, reference: Target, measured: ReadonlyMap<string, Estimate>): Estimate {
  if (target === reference) return { value: 0, ci95: 0 };
  const [own, to] = [measured.get(target.name)!, measured.get(reference.name)!];
  const ratio = own.value / to.value / (target.ratio / reference.ratio);
  return {
    value: CENTS_PER_NEPER * Math.log(ratio),
    ci95: CENTS_PER_NEPER * Math.hypot(own.ci95 / own.value, to.ci95 / to.value),
  };
}

function cutsOf({ places }: Task, before: State, after: State): Pick<TunePass, "cuts" | "removedKg"> {
  const depthMm = places.map((_, k) => after.depth[k]! - before.depth[k]!);
  return {
    cuts: places.flatMap(({ band: { wall, zM, rM } }, k) =>
      depthMm[k] === 0 ? [] : [{ wall, zMm: 1000 * zM, rMm: 1000 * rM, depthMm: depthMm[k]! }],
    ),
    removedKg: places.reduce((sum, { kgPerMm }, k) => sum + kgPerMm * depthMm[k]!, 0),
  };
}

function partialsOf(
  targets: readonly Target[],
  off: readonly Estimate[],
  measuredHz: readonly Estimate[],
  zero: State,
  before: State,
  after: State,
): TunedPartial[] {
  return targets.map(({ name }, i) => {
    const { value, ci95 } = measuredHz[i]!;
    const hz = value * Math.exp((after.answer.movedCents[i]! - zero.answer.movedCents[i]!) / CENTS_PER_NEPER);
    const depth = after.depth.map((each, k) => each - before.depth[k]!);
    const sd = SLOPE_SPREAD * Math.hypot(...before.answer.centsPerMm[i]!.map((each, k) => each * depth[k]!));
    return {
      name,
      offCents: off[i]!,
      frequencyHz: { value: hz, ci95: Math.hypot(ci95, (hz * SD_TO_CI95 * sd) / CENTS_PER_NEPER) },
    };
  });
}
