import { ordinaryMethod } from "./baseline.ts";
import { dampedLines } from "./damped-lines.ts";
import type { Estimator } from "./estimator.ts";
import { knownStrike } from "./known-strike.ts";

/** What the bench can measure; the first is measured unless another is named. */
export const METHODS: Estimator[] = [dampedLines, knownStrike, ordinaryMethod];
