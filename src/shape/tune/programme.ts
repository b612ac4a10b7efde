import { type Constraint, solve } from "yalps";

/** What a cut may do: one entry a band, lengths in millimetres. */
export interface CutProgramme {
  /** Cents that each partial moves against the reference for each millimetre, partial by partial. */
  readonly centsPerMm: readonly (readonly number[])[];
  /** Cents each should move. */
  readonly wantedCents: readonly number[];
  readonly kgPerMm: readonly number[];
  readonly mostMm: readonly number[];
  /** Bands that lie side by side on one wall. */
  readonly neighbours: readonly (readonly [number, number, number])[];
  readonly aim: "least metal" | "smoothest";
}

/**
 * Depths that move the partials as wanted: by a linear programme (simplex), with the least metal or with the least bending of
 * the cut. What cannot be reached is missed by as few cents as can be: a cent missed is dearer than any metal.
 *
 * @returns depth of each band, mm
 */
export function leastCut(programme: CutProgramme): number[] {
  const { centsPerMm, wantedCents, kgPerMm, mostMm, neighbours, aim } = programme;
  const variables = new Map<string, Record<string, number>>();
  const constraints = new Map<string, Constraint>();
  const allKg = kgPerMm.reduce((sum, kg, k) => sum + kg * mostMm[k]!, 0) || 1;
  const bend = aim === "smoothest";
  for (const [k, kg] of kgPerMm.entries()) {
    const column: Record<string, number> = { cost: (bend ? 0.01 : 1) * (kg / allKg), [`most ${k}`]: 1 };
    centsPerMm.forEach((row, i) => {
      column[`partial ${i}`] = row[k]!;
    });
    variables.set(`depth ${k}`, column);
    constraints.set(`most ${k}`, { max: mostMm[k]! });
  }
  wantedCents.forEach((cents, i) => {
    constraints.set(`partial ${i}`, { equal: cents });
    variables.set(`over ${i}`, { cost: 10, [`partial ${i}`]: -1 });
    variables.set(`under ${i}`, { cost: 10, [`partial ${i}`]: 1 });
  });
  if (bend) {
    neighbours.forEach(([a, b, c], j) => {
      for (const [side, sign] of [
        ["up", 1],
        ["down", -1],
      ] as const) {
        constraints.set(`bend ${side} ${j}`, { max: 0 });
        for (const [k, part] of [
          [a, 1],
          [b, -2],
          [c, 1],
        ] as const) {
          variables.get(`depth ${k}`)![`bend ${side} ${j}`] = sign * part;
        }
        const own = variables.get(`bend ${j}`) ?? { cost: 1 };
        own[`bend ${side} ${j}`] = -1;
        variables.set(`bend ${j}`, own);
      }
    });
  }
  const { variables: found } = solve({
    direction: "minimize",
    objective: "cost",
    constraints,
    variables,
  });
  const depth = kgPerMm.map(() => 0);
  for (const [name, value] of found) {
    const k = /^depth (\d+)$/.exec(name)?.[1];
    if (k !== undefined) depth[Number(k)] = value;
  }
  return depth;
}
