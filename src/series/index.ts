/** A set of bells, or one bell through its tuning passes: the series file, and what its measurements say. Pure. */
export { analyseSeries, type MeasuredPass, type SeriesInput } from "./analyse.ts";
export { CUTTING_CAUTIONS } from "./cautions.ts";
export { SeriesFileError } from "./error.ts";
export { appendPass, type NewPass } from "./file/append-pass.ts";
export { readSeries } from "./file/read-series.ts";
export type { SeriesBell, SeriesFile, SeriesPass } from "./file/series-file.ts";
export { STARTER_SERIES } from "./file/starter.ts";
export * from "./result.ts";
export {
  ownTemperament,
  TEMPERAMENT_IDS,
  type Temperament,
  temperamentById,
  tunedNoteHz,
} from "./temperament.ts";
