import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["tests/**/*.test.ts"],
    testTimeout: 20_000,
    // The machine-readable result is what .ci/run counts.
    reporters: process.env.CI ? ["default", ["json", { outputFile: "reports/vitest.json" }]] : ["default"],
  },
});
