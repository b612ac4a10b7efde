import { defineConfig } from "vitest/config";

/** What a mutant must survive: one folder's tests, without those that take seconds or measure the time taken. */
export default defineConfig({
  test: {
    include: [`${process.env.MUTANTS_TESTS ?? "tests"}/**/*.test.ts`],
    exclude: ["tests/bell/naming-rates.test.ts", "tests/partials/recorded-bells.test.ts"],
    testTimeout: 60_000,
  },
});
