/** Bells before they are cast: a profile's partials, what moves them, and the profile or the cut that reaches them. */

export { calibrated } from "./calibrate.ts";
export { checkedBound, type DesignResult, design } from "./design/design.ts";
export { InvalidShapeError } from "./error.ts";
export {
  type Forecast,
  type ForecastRequest,
  forecast,
  USUAL_EACH,
  USUAL_HARMONICS,
} from "./forecast.ts";
export type { WallMesh } from "./mesh/mesh.ts";
export type { Profile, ProfileNote, Ripple, WallLine } from "./profile/profile.ts";
export { type ReadOptions, readProfile } from "./profile/read-profile.ts";
export { scaledProfile } from "./profile/scale-profile.ts";
export { profileCsv } from "./profile/write-csv.ts";
export { profileDxf } from "./profile/write-dxf.ts";
export { profileStl } from "./profile/write-stl.ts";
export { profileSvg } from "./profile/write-svg.ts";
export {
  type BandSensitivity,
  FORECAST_SCHEMA,
  type ForecastDocument,
  type ForecastDoublet,
  type ForecastMode,
  type ForecastResult,
} from "./result.ts";
export type { Mode } from "./solver/harmonic.ts";
export { measuredWalls } from "./spread.ts";
export { type TuneResult, tune } from "./tune/tune.ts";
