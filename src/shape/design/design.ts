import type { Profile as RatioProfile } from "../../bell/index.ts";
import { thicknessM } from "../answers.ts";
import { InvalidShapeError } from "../error.ts";
import type { WallMesh } from "../mesh/mesh.ts";
import { meshProfile, type PairedProfile } from "../mesh/wall-mesh.ts";
import { thinned, type Wall, type WallStations } from "../mesh/wall-moves.ts";
import type { Profile, WallLine } from "../profile/profile.ts";
import { scaledProfile } from "../profile/scale-profile.ts";
import { bandCentsPerM, bothWalls, CENTS_PER_NEPER, stationSlopes } from "../sensitivity.ts";
import { modeGradient } from "../solver/gradient.ts";
import type { Mode } from "../solver/harmonic.ts";
import type { Material } from "../solver/material.ts";
import { aimedTargets, referenceTarget, type Target } from "../targets.ts";
import { targetModes } from "../tune/answer.ts";
import { neighboursOf, type Place, placesOf } from "../tune/places.ts";
import { boundedLeastSquares } from "./least-squares.ts";

export interface DesignRequest {
  readonly casting: Profile;
  readonly paired: PairedProfile;
  readonly material: Material;
  readonly ratios: RatioProfile;
  readonly walls: readonly Wall[];
  /** No wall changes by more than this part of itself. */
  readonly mostOfWall: number;
  /** What the bell should sound, Hz; null leaves its size. */
  readonly noteHz: number | null;
}

export interface DesignedPartial {
  readonly name: string;
  /** Away from the ratio to the reference, cents. */
  readonly beforeCents: number;
  readonly afterCents: number;
}

/** How one stretch of the wall is changed. */
export interface WallChange {
  readonly wall: Wall;
  readonly zMm: number;
  /** Above zero where the wall gets thicker, before the bell is scaled to its note. */
  readonly thickerMm: number;
  readonly ofWall: number;
}

export interface DesignResult {
  readonly ratios: string;
  readonly reference: string;
  readonly partials: DesignedPartial[];
  readonly changes: WallChange[];
  /** What lies more than a cent off within the bounds. */
  readonly notReached: string[];
  /** New length over old, so that the note is reached. */
  readonly sizeFactor: number;
  readonly noteHz: number | null;
}

/** Fine enough for the last cent to be the design's. */
const FINENESS = [60, 3] as const;
const MOST_STEPS = 20;
/** Largest change of one step, as a part of the wall: beyond it straight lines do not hold. */
const STEP = 0.08;
const GOOD_CENTS = 0.2;
/** What a cent weighs against a change of the whole wall, and a bend of it. */
const CENT_WEIGHT = 1;
const CHANGE_WEIGHT = 0.1;
const BEND_WEIGHT = 3;
/** From here on, cents, the walls found are kept and only the least change that is still wanted is made. */
const SETTLED_CENTS = 8;

/**
 * A profile whose partials have the wanted ratios: the smallest and smoothest change of the walls within bounds, by damped least
 * squares on the exact slopes, step by step; then all lengths scaled to the note, since the pitch of a shape goes as one over
 * its size.
 *
 * @returns the new profile at the casting's size, and what it reaches
 * @throws InvalidShapeError where the ratios tell too little
 */
export function design(request: DesignRequest): { profile: Profile; result: DesignResult } {
  const { casting, paired, material, ratios, walls, mostOfWall, noteHz } = request;
  const aimed = aimedTargets(ratios);
  const reference = referenceTarget(ratios, aimed);
  const drawn = meshProfile(paired, ...FINENESS);
  const stations = bothWalls(drawn);
  const places = placesOf(drawn, material, walls, null);
  const wallMm = places.map((place) => 1000 * wallAt(drawn, place));
  let depthMm = places.map(() => 0);
  let mesh = drawn;
  let modes = targetModes(mesh, material, aimed);
  const before = offCents(modes, aimed, reference);
  let off = before;
  let best = { depthMm, mesh, modes, off };
  for (let step = 0; step < MOST_STEPS && worst(off) > GOOD_CENTS; step++) {
    const rows = modes.map((mode) => centsPerMm(mesh, material, mode, stations, places));
    depthMm = stepFrom(depthMm, off, rows, places, wallMm, mostOfWall, worst(off) < SETTLED_CENTS);
    mesh = moved(drawn, stations, places, depthMm);
    modes = targetModes(mesh, material, aimed);
    off = offCents(modes, aimed, reference);
    if (worst(off) < worst(best.off)) best = { depthMm, mesh, modes, off };
  }
  const sizeFactor = noteHz === null ? 1 : soundingHz(best.modes, aimed, ratios, reference) / noteHz;
  return {
    profile: scaledProfile(profileOf(casting, paired, best.mesh), sizeFactor),
    result: {
      ratios: ratios.id,
      reference: reference.name,
      partials: aimed.map(({ name }, i) => ({ name, beforeCents: before[i]!, afterCents: best.off[i]! })),
      changes: places.map(({ band: { wall, zM } }, k) => ({
        wall,
        zMm: 1000 * zM,
        thickerMm: -best.depthMm[k]!,
        ofWall: -best.depthMm[k]! / wallMm[k]!,
      })),
      notReached: aimed.filter((_, i) => Math.abs(best.off[i]!) > 1).map(({ name }) => name),
      sizeFactor,
      noteHz,
    },
  };
}

function wallAt(mesh: WallMesh, { band: { depth } }: Place): number {
  return thicknessM(mesh)[depth.reduce((at, each, j) => (each > depth[at]! ? j : at), 0)]!;
}

function worst(off: readonly number[]): number {
  return Math.max(...off.map(Math.abs));
}

function offCents(modes: readonly Mode[], aimed: readonly Target[], reference: Target): number[] {
  const to = modes[aimed.indexOf(reference)]!.frequencyHz;
  return aimed.map(
    ({ ratio }, i) => CENTS_PER_NEPER * Math.log(modes[i]!.frequencyHz / to / (ratio / reference.ratio)),
  );
}

function centsPerMm(
  mesh: WallMesh,
  material: Material,
  mode: Mode,
  stations: Record<Wall, WallStations>,
  places: readonly Place[],
): number[] {
  const gradient = modeGradient(mesh, material, mode);
  const slopes = {
    outer: stationSlopes(mesh, stations.outer, gradient),
    inner: stationSlopes(mesh, stations.inner, gradient),
  };
  return places.map(({ band }) => 1e-3 * bandCentsPerM(slopes[band.wall], band));
}

/** The next depths. The last unknown is how far all partials together may go, which costs nothing. */
function stepFrom(
  depthMm: readonly number[],
  off: readonly number[],
  rows: readonly (readonly number[])[],
  places: readonly Place[],
  wallMm: readonly number[],
  mostOfWall: number,
  settled: boolean,
): number[] {
  const all = [
    ...rows.map((row) => [...row.map((each, k) => CENT_WEIGHT * each * wallMm[k]!), -CENT_WEIGHT]),
  ];
  const right = off.map((each) => -CENT_WEIGHT * each);
  const share = depthMm.map((each, k) => each / wallMm[k]!);
  const unit = (k: number, weight: number) => [...places.map((_, j) => (j === k ? weight : 0)), 0];
  places.forEach((_, k) => {
    all.push(unit(k, CHANGE_WEIGHT));
    right.push(settled ? 0 : -CHANGE_WEIGHT * share[k]!);
  });
  for (const [a, b, c] of neighboursOf(places)) {
    const row = unit(a, BEND_WEIGHT).map((each, j) => each + (j === b ? -2 : j === c ? 1 : 0) * BEND_WEIGHT);
    all.push(row);
    right.push(settled ? 0 : -BEND_WEIGHT * (share[a]! - 2 * share[b]! + share[c]!));
  }
  all.push([...places.map(() => 0), 1e-6]);
  right.push(0);
  const further = boundedLeastSquares(
    all,
    right,
    [...share.map((each) => Math.max(-STEP, -mostOfWall - each)), -1e4],
    [...share.map((each) => Math.min(STEP, mostOfWall - each)), 1e4],
  );
  return depthMm.map((each, k) => each + further[k]! * wallMm[k]!);
}

function moved(
  drawn: WallMesh,
  stations: Record<Wall, WallStations>,
  places: readonly Place[],
  depthMm: readonly number[],
): WallMesh {
  let mesh = drawn;
  for (const wall of ["outer", "inner"] as const) {
    const depthM = new Float64Array(drawn.columns);
    places.forEach(({ band }, k) => {
      if (band.wall !== wall) return;
      for (let j = 0; j < depthM.length; j++) depthM[j]! += 1e-3 * depthMm[k]! * band.depth[j]!;
    });
    mesh = thinned(mesh, stations[wall], depthM);
  }
  return mesh;
}

/** What is heard: half of the partial that the ratios name for it, or else the reference. */
function soundingHz(
  modes: readonly Mode[],
  aimed: readonly Target[],
  { strikeHalfOf }: RatioProfile,
  reference: Target,
): number {
  const struck = aimed.findIndex(({ name }) => name === strikeHalfOf);
  if (struck >= 0) return modes[struck]!.frequencyHz / 2;
  return modes[aimed.indexOf(reference)]!.frequencyHz;
}

/** The walls of a mesh as lines, the end faces of the drawing kept. */
function profileOf(casting: Profile, { walls }: PairedProfile, mesh: WallMesh): Profile {
  const stations = bothWalls(mesh);
  const line = (wall: Wall): WallLine => ({ rM: stations[wall].rM, zM: stations[wall].zM });
  const outer = line("outer");
  const face = Array.from(walls.lipEnd.rM.keys()).slice(1, -1);
  if (face.length === 0) return { ...casting, outer, inner: line("inner") };
  return {
    ...casting,
    outer: {
      rM: Float64Array.from([...outer.rM, ...face.map((i) => walls.lipEnd.rM[i]!)]),
      zM: Float64Array.from([...outer.zM, ...face.map((i) => walls.lipEnd.zM[i]!)]),
    },
    inner: line("inner"),
  };
}

/** @throws InvalidShapeError where a bound is none that a wall could have */
export function checkedBound(share: number): number {
  if (share > 0 && share <= 0.6) return share;
  throw new InvalidShapeError(
    "a wall can be changed by more than nothing and at most 60 %; give such a bound",
  );
}
