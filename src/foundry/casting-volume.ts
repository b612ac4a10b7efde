import type { Estimate } from "../measurement/index.ts";
import { castDensityKgM3 } from "./alloy-sheets.ts";
import type { Composition } from "./composition.ts";
import { InvalidPlanError } from "./error.ts";
import { relativeCi95, withRelative } from "./estimate.ts";

/** Mass of a casting from its volume, with what is uncertain of its density. */
export interface CastingVolume {
  volumeM3: Estimate;
  densityKgM3: Estimate;
  massKg: Estimate;
  /** Data sheets that the density spans, beside ideal mixing. */
  sheets: string[];
}

/** @throws InvalidPlanError for a volume that is not above 0. */
export function massOfVolume(volumeM3: Estimate, alloy: Composition): CastingVolume {
  if (!(volumeM3.value > 0))
    throw new InvalidPlanError("the casting's volume must be above 0; give it with its unit");
  const { densityKgM3, sheets } = castDensityKgM3(alloy);
  const massKg = withRelative(
    volumeM3.value * densityKgM3.value,
    relativeCi95(volumeM3),
    relativeCi95(densityKgM3),
  );
  return { volumeM3, densityKgM3, massKg, sheets };
}
