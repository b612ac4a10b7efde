import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import Ajv2020 from "ajv/dist/2020.js";
import { expect } from "vitest";
import type { PlanDocument } from "../../../src/foundry/index.ts";
import { emptyMeasurement, soundBell } from "../../support/sample-measurement.ts";
import { ringwright, temporaryFolder } from "../harness.ts";

const accepts = new Ajv2020({ strict: true, allowUnionTypes: true, strictRequired: false }).compile(
  JSON.parse(readFileSync(new URL("../../../docs/schemas/plan-1.schema.json", import.meta.url), "utf8")),
);

/** Runs a plan command with `--json -`, checks the schema, and gives the document. */
export async function planned(argv: string[], cwd = temporaryFolder(), status = 0): Promise<PlanDocument> {
  const outcome = await ringwright(["plan", ...argv, "--json", "-"], { cwd });
  expect(outcome.stderr).toEqual(status === 0 ? "" : expect.stringMatching(/^ringwright: /));
  expect(outcome.status).toBe(status);
  const document = JSON.parse(outcome.stdout);
  accepts(document);
  expect(accepts.errors).toBeNull();
  return document;
}

/** Runs a plan command that must be refused: one sentence, status 2, nothing written. */
export async function refused(argv: string[], message: RegExp, cwd = temporaryFolder()): Promise<void> {
  const before = readdirSync(cwd);
  const outcome = await ringwright(["plan", ...argv], { cwd });
  expect(outcome.stderr).toMatch(message);
  expect(outcome.stderr.split("\n")).toHaveLength(2);
  expect(outcome.status).toBe(2);
  expect(outcome.stdout).toBe("");
  expect(readdirSync(cwd)).toEqual(before);
}

/** A folder with an invented bell, measured and as a recording, and a measurement of nothing. */
export function withBells(): string {
  const cwd = temporaryFolder();
  writeFileSync(join(cwd, "bell.json"), JSON.stringify(soundBell()));
  writeFileSync(join(cwd, "empty.json"), JSON.stringify(emptyMeasurement()));
  writeFileSync(join(cwd, "bell.wav"), "sound");
  return cwd;
}
