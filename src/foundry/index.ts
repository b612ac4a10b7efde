/** Planning the next pour: alloys, charges, scaling. Plain arithmetic on values in SI units. */
export {
  ALLOY_SHEETS,
  type AlloyFamily,
  type AlloySheet,
  alloyFamilyOf,
  castDensityKgM3,
} from "./alloy-sheets.ts";
export { type AlloyShift, alloyShift } from "./alloy-shift.ts";
export { type Fractions, RESIDUAL_SOURCE, type Recipe, recipeFor } from "./balance.ts";
export { type CastingVolume, massOfVolume } from "./casting-volume.ts";
export { CAUTIONS_SOURCE, type Caution, MOLTEN_METAL_CAUTIONS } from "./cautions.ts";
export {
  type ChargeItem,
  type ChargeRequest,
  type ChargeResult,
  planCharge,
  type ReturnUse,
} from "./charge.ts";
export type { MixReturn } from "./charge-mix.ts";
export { type Composition, elementOf, formatComposition, parseComposition } from "./composition.ts";
export { type Contraction, publishedContraction } from "./contraction.ts";
export { type CorrectionRequest, type CorrectionResult, planCorrection } from "./correct.ts";
export { type CastElasticity, castElasticity } from "./elasticity.ts";
export { InvalidPlanError } from "./error.ts";
export type { BellSize, Expected, ExpectedPartial } from "./expected.ts";
export { type MeshVolume, meshVolume } from "./mesh-volume.ts";
export { mixtureDensityKgM3 } from "./mixture.ts";
export { PLAN_SCHEMA, type PlanDocument, readScalePlan } from "./plan.ts";
export * from "./quantity.ts";
export { referenceHz, STRIKE_NOTE } from "./reference.ts";
export { type ReviewRequest, type ReviewResult, reviewPlan } from "./review.ts";
export type { ReviewCause } from "./review-causes.ts";
export { planScale, type ScaleRequest, type ScaleResult } from "./scale.ts";
export { CASTING_SPREAD, cubeRoot, type FamilyMember, fitExponent } from "./scaling-law.ts";
export { readStl, type TriangleMesh } from "./stl.ts";
export { TEMPERATURE_SOURCE, temperatureCoefficientPerK, temperatureRatio } from "./temperature.ts";
export { type DensityResult, densityFromWeighing, type Weighing, waterDensityKgM3 } from "./weighing.ts";
