import { defineConfig } from "vitest/config";

/** What a mutant must survive: one folder's tests, without those that take seconds or measure the time taken. */
export default defineConfig({
  test: {
    include: (process.env.MUTANTS_TESTS ?? "tests/**/*.test.ts").split(","),
    exclude: [
      "bell/naming-rates",
      ...["detect-noise", "fit-modes-bells", "grow-noise", "recorded-bells", "tiers-bells"].map(
        (name) => `partials/${name}`,
      ),
    ].map((name) => `tests/${name}.test.ts`),
    testTimeout: 60_000,
  },
});
