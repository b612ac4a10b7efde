import type { Estimate } from "../../measurement/index.ts";
import { amountForChance, chanceNearer, chancePast, type Movement } from "./outcome.ts";

const SURELY = 0.975;

/**
 * The amount that brings a partial to its target, with the half-width that holds 95 % of outcomes, or null with the reason.
 *
 * @param scale a typical amount, to begin the search from
 */
export function projectAmount(
  movement: Movement,
  scale: number,
): { amount: Estimate; reason: null } | { amount: null; reason: string } {
  const { value, ci95 } = movement.deviationCents;
  if (Math.abs(value) <= ci95) return { amount: null, reason: "at its target as far as it was measured" };
  const nearer = chanceNearer(movement);
  if (nearer <= 1 - SURELY) return { amount: null, reason: "cannot be reached by removing metal there" };
  const unsure = "the cuts so far do not tell whether removing metal there brings it nearer, or how fast";
  if (nearer < SURELY) return { amount: null, reason: unsure };
  const tooWide = "the cuts so far scatter too much to tell the amount";
  const [least, middle, most] = [1 - SURELY, 0.5, SURELY].map((chance) =>
    amountForChance((amount) => chancePast(movement, amount), chance, scale),
  );
  if (least == null || middle == null || most == null) return { amount: null, reason: tooWide };
  const half = Math.max(middle - least, most - middle);
  // An interval that reaches 0 tells nothing that the sign did not.
  if (half >= middle) return { amount: null, reason: tooWide };
  return { amount: { value: middle, ci95: half }, reason: null };
}
