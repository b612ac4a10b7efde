import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { ringwright, temporaryFolder } from "../harness.ts";
import { refused } from "./plan-support.ts";

describe("plan", () => {
  it("plan alone asks which, and a mistyped one suggests the nearest", async () => {
    await refused([], /say which plan command; see ringwright plan --help/);
    await refused(["chrage"], /did you mean charge\?/);
  });

  it.each(["scale", "charge", "correct", "density", "review"])(
    "plan %s --help names its options with examples",
    async (name) => {
      const { status, stdout } = await ringwright(["plan", name, "--help"]);
      expect(status).toBe(0);
      for (const text of [
        "--json <FILE>",
        "--html <FILE>",
        "--units <UNITS>",
        "Examples:",
        `ringwright plan ${name}`,
      ]) {
        expect(stdout).toContain(text);
      }
    },
  );
});

describe("plan's results", () => {
  it("plan writes the sheet and the data, and prints nothing when quiet", async () => {
    const cwd = temporaryFolder();
    const argv = [
      "plan",
      "charge",
      "--mass",
      "12kg",
      "--alloy",
      "Cu78Sn22",
      "--html",
      "charge.html",
      "--json",
      "charge.json",
    ];
    const { status, stdout, stderr } = await ringwright([...argv, "--quiet"], { cwd });
    expect({ status, stdout, stderr }).toEqual({ status: 0, stdout: "", stderr: "" });
    expect(readdirSync(cwd).sort()).toEqual(["charge.html", "charge.json"]);
    expect(readFileSync(join(cwd, "charge.html"), "utf8")).toMatch(
      /^<!doctype html>[\s\S]*No moisture near the melt/,
    );
    const again = await ringwright(argv, { cwd });
    expect(again.status).toBe(2);
    expect(again.stderr).toMatch(/charge.json is already there; add --force/);
  });

  it("plan writes in US customary units when asked", async () => {
    const { stdout } = await ringwright([
      "plan",
      "charge",
      "--mass",
      "12lb",
      "--alloy",
      "Cu75Sn25",
      "--units",
      "us",
    ]);
    expect(stdout).toMatch(/copper +9 lb 0\.0 oz/);
    expect(stdout).toMatch(/tin +3 lb 0\.0 oz/);
  });
});
