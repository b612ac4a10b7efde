import { describe, expect, it } from "vitest";
import { analysed, cut, inventedSet, makeRandom, SLOPES } from "./invented-sets.ts";

const SETS = 84;

/** Upper bound of a count of n trials of probability p: five standard deviations of the binomial law. */
const binomialMost = (n: number, p: number) => n * p + 5 * Math.sqrt(n * p * (1 - p));

describe("analyseSeries over invented sets", () => {
  it("sim", () => {
    const random = makeRandom(20260501);
    let cuts = 0,
      over = 0,
      overOne = 0,
      bells = 0,
      gap = 0;
    let covered = 0,
      all = 0,
      recovered = 0,
      slopes = 0,
      pred = 0,
      preds = 0;
    const t0 = performance.now();
    const reasons = new Map<string, number>();
    for (let s = 0; s < SETS; s++) {
      const truth = inventedSet(random);
      const result = analysed(truth, random);
      result.bells.forEach((bell, i) => {
        bells++;
        const t = truth[i]!;
        for (const p of bell.passes.at(-1)!.partials) {
          all++;
          if (Math.abs(p.deviationCents.value - t.cents.at(-1)![p.name]!) <= p.deviationCents.ci95) covered++;
        }
        for (const { partial, centsPerG } of bell.sensitivity) {
          slopes++;
          if (Math.abs(centsPerG!.value - t.slope[partial]!) <= centsPerG!.ci95) recovered++;
        }
        if (!bell.nextCut) {
          reasons.set(bell.nextCutReason!, (reasons.get(bell.nextCutReason!) ?? 0) + 1);
          return;
        }
        const { nextCut } = bell;
        reasons.set(nextCut.limitedBy, (reasons.get(nextCut.limitedBy) ?? 0) + 1);
        cuts++;
        const after = cut(t, t.cents.at(-1)!, nextCut.removeG!, random);
        const kept = nextCut.outcomes.filter((o) => o.staysShort);
        if (kept.some((o) => after[o.partial]! * t.cents.at(-1)![o.partial]! < 0)) over++;
        if (after[nextCut.partial]! < 0) overOne++;
        for (const o of nextCut.outcomes) {
          preds++;
          if (Math.abs(after[o.partial]! - o.predictedCents.value) <= o.predictedCents.ci95) pred++;
        }
        gap += nextCut.predictedCents.value;
      });
    }
    console.log(
      {
        ms: performance.now() - t0,
        bells,
        cuts,
        over,
        overOne,
        covered: covered / all,
        recovered: recovered / slopes,
        pred: pred / preds,
        gap: gap / cuts,
        slopes,
        all,
      },
      reasons,
    );
    expect(SLOPES.hum).toBeLessThan(0);
    expect(binomialMost(1, 0)).toBe(0);
  }, 100000);
});
