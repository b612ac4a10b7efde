import { readdirSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { fromPlain } from "./plain.ts";
import { ROOT, readText } from "./root.ts";
import { runWithin } from "./run-case.ts";
import { TARGETS } from "./targets/index.ts";

/** Every case that failed once, made small. */
const FILES = readdirSync(join(ROOT, "fixtures/fuzz")).filter((name) => name.endsWith(".json"));

describe("former failures", () => {
  it.each(FILES)("%s ends as it must", { timeout: 60_000 }, async (name) => {
    const { target, outcome, input } = JSON.parse(readText(`fixtures/fuzz/${name}`));
    const verdict = await runWithin(TARGETS.find((each) => each.name === target)!, fromPlain(input));
    expect(verdict.outcome).toBe(outcome);
  });
});
