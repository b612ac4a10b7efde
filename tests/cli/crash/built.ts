import { rmSync } from "node:fs";
import { join, resolve } from "node:path";
import { afterAll, beforeAll } from "vitest";
// @ts-expect-error a plain script without types
import { build } from "../../../src/cli/build/build.mjs";

/** The real program, built for the tests of this file and gone after them; inside the project, so that the decoders are found. */
export function builtProgram(name: string): string {
  const outdir = join(
    resolve(import.meta.dirname, "../../.."),
    "node_modules/.cache",
    `ringwright-${name}-${process.pid}`,
  );
  beforeAll(() => build(outdir), 60_000);
  afterAll(() => rmSync(outdir, { recursive: true, force: true }));
  return join(outdir, "ringwright.mjs");
}
