import type { Finding } from "../measurement/index.ts";
import type { Measured } from "./finding.ts";
import { REGISTER } from "./register.ts";

/**
 * All findings on one measurement, in the order of the register: what a founder asks first comes first.
 * Each is handed only what it declared. Pure; never throws.
 */
export function runFindings(measured: Measured): Finding[] {
  return REGISTER.map((rule) => rule.find(measured));
}
