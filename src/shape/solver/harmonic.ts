import { factorise } from "./band.ts";
import { largestPairs } from "./lanczos.ts";
import { assemble, expand, type Model, massTimes, notSolvable } from "./model.ts";

/** One way in which the body rings. */
export interface Mode {
  /** Waves around: the motion goes as cos(m theta). */
  readonly m: number;
  /** Counted from 1 within m, motions of the body as a whole left out. */
  readonly order: number;
  readonly frequencyHz: number;
  /** U, V, W at each node, m; the integral of density times (U² + V² + W²) r over the section is 1. */
  readonly shape: Float64Array;
}

/** Below this part of the body's own scale of frequency a motion is that of the whole, not a ring. */
const RIGID = 1e-3;

/** sqrt(E / rho) over 2 pi and the size: what frequencies of the body scale with, Hz. */
export function scaleHz({ material, extentM }: Model): number {
  return Math.sqrt(material.youngPa / material.densityKgM3) / (2 * Math.PI * extentM);
}

/** Motions of a free body as a whole that have m waves around. */
export function rigidMotions(model: Model, m: number): number {
  return m > 1 || model.held.some((held) => held !== 0) ? 0 : 2;
}

/**
 * The lowest modes with m waves around, by rising frequency. For m = 0 breathing and torsion come together.
 *
 * @throws InvalidShapeError where the equations cannot be solved
 */
export function solveHarmonic(model: Model, m: number, count: number): Mode[] {
  const shift = -((2 * Math.PI * 0.1 * scaleHz(model)) ** 2);
  assemble(model, m, shift);
  if (!factorise(model.stiffness)) notSolvable();
  const { theta, vectors } = largestPairs(
    model.stiffness,
    (x, y) => massTimes(model, m, x, y),
    count + rigidMotions(model, m),
    model.space,
  );
  const rigidBelow = (2 * Math.PI * RIGID * scaleHz(model)) ** 2;
  const modes: Mode[] = [];
  theta.forEach((value, at) => {
    const lambda = shift + 1 / value;
    if (!(lambda > rigidBelow) || modes.length === count) return;
    const shape = vectors[at]!;
    expand(model, m, shape);
    modes.push({ m, order: modes.length + 1, frequencyHz: Math.sqrt(lambda) / (2 * Math.PI), shape });
  });
  if (modes.length < count) notSolvable();
  return modes;
}
