import { ordinaryMethod } from "./baseline.ts";
import type { Estimator } from "./estimator.ts";

/** What the bench can measure; the first is measured unless another is named. */
export const METHODS: Estimator[] = [ordinaryMethod];
