import { describe, expect, it } from "vitest";
import { toPlain } from "./plain.ts";
import { runCase } from "./run-case.ts";
import { TARGETS } from "./targets/index.ts";

/** The short form of `npm run fuzz`: the first of the same cases, at a fixed seed. */
const SEED = 1;
const CASES = 2000;
const SHARES = TARGETS.reduce((sum, { share }) => sum + share, 0);

describe("fuzzing", () => {
  it.each(TARGETS.map((target) => ({ target, cases: Math.ceil((CASES * target.share) / SHARES) })))(
    "$target.name: $cases cases of $target.what each end as they must",
    { timeout: 120_000 },
    async ({ target, cases }) => {
      for (let index = 0; index < cases; index++) {
        const { outcome, input, why } = await runCase(target, SEED, index);
        if (outcome === "failed") {
          expect.fail(
            `${why}\nseed ${SEED}, case ${index}: ${JSON.stringify(toPlain(input))?.slice(0, 3000)}`,
          );
        }
      }
    },
  );

  it("fuzzing runs at least two thousand cases", () => {
    const all = TARGETS.reduce((sum, { share }) => sum + Math.ceil((CASES * share) / SHARES), 0);
    expect(all).toBeGreaterThanOrEqual(CASES);
  });
});
