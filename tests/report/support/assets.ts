import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

const entry = fileURLToPath(new URL("../../../src/report/client/main.ts", import.meta.url));

/** The two texts that a report inlines, made as a build makes them. */
export async function reportAssets(): Promise<{ chartJsSource: string; script: string }> {
  const { outputFiles } = await build({
    entryPoints: [entry],
    bundle: true,
    format: "iife",
    minify: true,
    target: "es2022",
    write: false,
  });
  const main = createRequire(import.meta.url).resolve("chart.js");
  return {
    chartJsSource: readFileSync(new URL("chart.umd.js", `file://${main}`), "utf8"),
    script: outputFiles[0]!.text,
  };
}
