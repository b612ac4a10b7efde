import type { Estimate } from "../measurement/index.ts";
import { answersOf, type Derivatives, derivativesOf, thicknessM } from "./answers.ts";
import { type Body, bodyOf } from "./body.ts";
import { doubletsOf } from "./doublets.ts";
import type { WallMesh } from "./mesh/mesh.ts";
import { type PairedProfile, pairedProfile } from "./mesh/wall-mesh.ts";
import { modeName, nodalCircles, wallMotion } from "./modes.ts";
import type { Profile, Ripple } from "./profile/profile.ts";
import { scaledProfile } from "./profile/scale-profile.ts";
import { type Refined, solveRefined } from "./refine.ts";
import type { BandSensitivity, ForecastMode, ForecastResult, Soundbow } from "./result.ts";
import { bandCentsPerM, bothWalls, CENTS_PER_NEPER, wallBands } from "./sensitivity.ts";
import type { Mode } from "./solver/harmonic.ts";
import type { Material } from "./solver/material.ts";
import { metalSpread, type Spread, USUAL_SPREAD } from "./spread.ts";
import {
  causesOf,
  halfWidthCents,
  type Knowledge,
  massRelativeCi95,
  ratioHalfWidthCents,
  sharesOf,
} from "./uncertainty.ts";

/** What a forecast is made of. */
export interface ForecastRequest {
  readonly file: string;
  readonly profile: Profile;
  /** Taken off where the profile is the pattern's. */
  readonly contraction: Estimate;
  readonly metal: { youngGPa: Estimate; densityKgM3: Estimate; poisson: Estimate; source: string };
  /** Where it is better known than usual. */
  readonly spread?: Partial<Spread>;
  readonly harmonics: readonly number[];
  readonly each: number;
  readonly heldCrownM: number | null;
  /** Beside those that the profile itself has. */
  readonly ripples: readonly Ripple[];
}

/** A forecast with what it was made from, for pictures, calibration and tuning. */
export interface Forecast {
  readonly result: ForecastResult;
  /** The profile at the casting's size. */
  readonly casting: Profile;
  readonly paired: PairedProfile;
  readonly material: Material;
  readonly spread: Spread;
  readonly mesh: WallMesh;
  readonly modes: readonly Mode[];
  readonly derivatives: Derivatives;
  readonly knowledge: Knowledge;
}

export const USUAL_HARMONICS: readonly number[] = Array.from({ length: 13 }, (_, m) => m);
export const USUAL_EACH = 4;
/** Stretches of each wall in the map of sensitivity. */
const BANDS = 16;

/**
 * Partials, mass and sensitivities of a bell from its profile.
 *
 * @throws InvalidShapeError where the profile makes no sound body, with the place
 */
export function forecast(request: ForecastRequest): Forecast {
  const { profile, metal } = request;
  const scale = profile.sizeOf === "pattern" ? 1 / (1 + request.contraction.value) : 1;
  const casting = scaledProfile(profile, scale);
  const material: Material = {
    youngPa: metal.youngGPa.value * 1e9,
    densityKgM3: metal.densityKgM3.value,
    poisson: metal.poisson.value,
  };
  const paired = pairedProfile(casting);
  const refined = solveRefined(paired, material, request);
  const { mesh, modes } = refined;
  const body = bodyOf(mesh);
  const derivatives = derivativesOf(mesh, material, modes);
  const spread: Spread = { ...USUAL_SPREAD, ...metalSpread(metal), ...request.spread };
  const causes = causesOf(answersOf(mesh, derivatives, body.volumeM3, refined.errorCents), spread);
  const knowledge: Knowledge = { causes, covariance: null };
  const made = { casting, paired, material, spread, mesh, modes, derivatives, knowledge };
  const result = resultOf(request, made, refined, body);
  return { result, ...made };
}

function resultOf(
  request: ForecastRequest,
  made: Omit<Forecast, "result">,
  refined: Refined,
  body: Body,
): ForecastResult {
  const { mesh, modes, material, knowledge } = made;
  const massKg = body.volumeM3 * material.densityKgM3;
  const lip = lowest(mesh);
  const reference = referenceOf(modes);
  return {
    profile: {
      file: request.file,
      sizeOf: request.profile.sizeOf,
      contraction: request.profile.sizeOf === "pattern" ? request.contraction : null,
      notes: request.profile.notes.map(({ code, numbers }) => ({ code, numbers: [...numbers] })),
    },
    metal: request.metal,
    heldCrownMm: request.heldCrownM === null ? null : 1000 * request.heldCrownM,
    massKg: { value: massKg, ci95: massKg * massRelativeCi95(knowledge, "mass") },
    volumeCm3: {
      value: 1e6 * body.volumeM3,
      ci95: 1e6 * body.volumeM3 * massRelativeCi95(knowledge, "volume"),
    },
    centreOfGravityMm: 1000 * (body.centreZM - lip),
    mouthMm: 2000 * mesh.rM.reduce((most, r) => Math.max(most, r), 0),
    heightMm: 1000 * (mesh.zM.reduce((most, z) => Math.max(most, z), lip) - lip),
    soundbow: soundbowOf(mesh),
    mesh: {
      along: refined.along,
      through: refined.through,
      unknowns: 3 * mesh.rM.length,
      errorCents: refined.errorCents,
    },
    reference,
    modes: forecastModes(mesh, modes, knowledge, reference),
    sensitivity: sensitivityOf(made),
    doublets: doubletsOf(mesh, material, modes, [...made.casting.ripples, ...request.ripples]),
    calibration: null,
  };
}

function forecastModes(
  mesh: WallMesh,
  modes: readonly Mode[],
  knowledge: Knowledge,
  reference: number,
): ForecastMode[] {
  return modes.map((mode, at) => ({
    m: mode.m,
    order: mode.order,
    circles: nodalCircles(wallMotion(mesh, mode)),
    name: modeName(mode),
    ...frequencyAndRatio(
      modes.map(({ frequencyHz }) => frequencyHz),
      knowledge,
      at,
      reference,
    ),
  }));
}

/** What the causes decide of a mode. */
export function frequencyAndRatio(
  hz: readonly number[],
  knowledge: Knowledge,
  at: number,
  reference: number,
): Pick<ForecastMode, "frequencyHz" | "ratio" | "shares"> {
  const wide = (cents: number) => Math.expm1(cents / CENTS_PER_NEPER);
  const ratio = hz[at]! / hz[reference]!;
  return {
    frequencyHz: { value: hz[at]!, ci95: hz[at]! * wide(halfWidthCents(knowledge, at)) },
    ratio: { value: ratio, ci95: ratio * wide(ratioHalfWidthCents(knowledge, at, reference)) },
    shares: sharesOf(knowledge, at),
  };
}

/** The partial that ratios are to: the prime where it lies under the nominal, as in church bells, or else the lowest. */
function referenceOf(modes: readonly Mode[]): number {
  const named = (name: string) => modes.findIndex((mode) => modeName(mode) === name);
  const [prime, nominal] = [named("prime"), named("nominal")];
  const low = prime >= 0 && (nominal < 0 || modes[prime]!.frequencyHz < 0.75 * modes[nominal]!.frequencyHz);
  if (low) return prime;
  return modes.reduce((least, mode, at) => (mode.frequencyHz < modes[least]!.frequencyHz ? at : least), 0);
}

function sensitivityOf({ mesh, material, derivatives }: Omit<Forecast, "result">): BandSensitivity[] {
  const walls = bothWalls(mesh);
  return (["outer", "inner"] as const).flatMap((wall) =>
    wallBands(walls[wall], BANDS).map((band): BandSensitivity => {
      const volume = derivatives.volumeSlopes[wall];
      const volumePerM = band.depth.reduce((sum, depth, j) => sum + depth * volume[j]!, 0);
      return {
        wall,
        zMm: 1000 * band.zM,
        rMm: 1000 * band.rM,
        fromZMm: 1000 * band.fromZM,
        toZMm: 1000 * band.toZM,
        centsPerTenthMm: derivatives.slopes.map((slopes) => 1e-4 * bandCentsPerM(slopes[wall], band)),
        gramsPerTenthMm: -volumePerM * 1e-4 * material.densityKgM3 * 1000,
      };
    }),
  );
}

function lowest({ zM }: WallMesh): number {
  return zM.reduce((least, z) => Math.min(least, z), zM[0]!);
}

/** The thickest wall of the lower third, where the bell is struck. */
function soundbowOf(mesh: WallMesh): Soundbow {
  const { columns, rows, lattice, zM } = mesh;
  const thickness = thicknessM(mesh);
  let best = columns - 1;
  for (let j = Math.floor((2 * columns) / 3); j < columns; j++) {
    if (thickness[j]! > thickness[best]!) best = j;
  }
  const height = (zM[lattice[best * rows]!]! + zM[lattice[best * rows + rows - 1]!]!) / 2;
  return { thicknessMm: 1000 * thickness[best]!, zMm: 1000 * height };
}
