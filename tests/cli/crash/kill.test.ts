import { spawn, spawnSync } from "node:child_process";
import { existsSync, readdirSync, readFileSync, utimesSync, watch, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { readSeries } from "../../../src/series/index.ts";
import { makeRandom } from "../../support/synthetic/random.ts";
import { temporaryFolder } from "../harness.ts";
import { builtProgram } from "./built.ts";
import { killRuns } from "./kill.ts";
import { preparedFolder, removeFolder, SCENARIOS } from "./scenarios.ts";

const bin = builtProgram("kill");
const RUNS = 6;

describe("the built program, killed", () => {
  it.each(SCENARIOS)(
    "ringwright $name killed at any moment leaves old files or whole new ones",
    {
      timeout: 120_000,
    },
    async (scenario) => {
      const { folder, tookMs } = preparedFolder(bin, scenario);
      try {
        const kills = await killRuns(bin, scenario, folder, tookMs, RUNS, makeRandom(7));
        expect(kills.runs).toBe(RUNS);
        // At least one of six came in time: half of them are drawn from within the run.
        expect(kills.before + kills.during + kills.after).toBeGreaterThan(0);
        // And the next run is none the worse.
        expect(spawnSync(bin, scenario.argv, { cwd: folder }).status).toBe(0);
      } finally {
        removeFolder(folder);
      }
    },
  );

  it("ringwright takes away what a killed run left of the same file once it is ten minutes old", () => {
    const cwd = temporaryFolder();
    const leftover = join(cwd, ".out.json.4242-0123abcd.tmp");
    writeFileSync(leftover, "half");
    const argv = ["plan", "charge", "--mass", "12kg", "--alloy", "Cu80Sn20", "--json", "out.json", "--force"];
    expect(spawnSync(bin, argv, { cwd }).status).toBe(0);
    expect(existsSync(leftover)).toBe(true);
    const longAgoS = Date.now() / 1000 - 601;
    utimesSync(leftover, longAgoS, longAgoS);
    expect(spawnSync(bin, argv, { cwd }).status).toBe(0);
    expect(readdirSync(cwd)).toEqual(["out.json"]);
  });
});

describe("the built program, stopped while it writes", () => {
  it.each(["SIGINT", "SIGTERM", "SIGHUP"] as const)(
    "ringwright stopped by %s at the first sign of a file keeps the old one, says so and exits 130, or is done",
    { timeout: 60_000 },
    async (signal) => {
      const cwd = temporaryFolder();
      writeFileSync(join(cwd, "out.html"), "old");
      const argv = [
        "plan",
        "charge",
        "--mass",
        "12kg",
        "--alloy",
        "Cu80Sn20",
        "--html",
        "out.html",
        "--force",
      ];
      const child = spawn(bin, argv, { cwd, stdio: ["ignore", "ignore", "pipe"] });
      let stderr = "";
      child.stderr.on("data", (chunk) => {
        stderr += chunk;
      });
      // Once: a second signal, after the file is taken away, would meet its default.
      const watcher = watch(cwd, () => {
        watcher.close();
        child.kill(signal);
      });
      const status = await new Promise((done) => child.on("close", (code) => done(code)));
      const text = readFileSync(join(cwd, "out.html"), "utf8");
      expect(readdirSync(cwd)).toEqual(["out.html"]);
      // The signal may come after the new name was given: the file is then the new one, and the run is stopped.
      if (status === 130) {
        expect(stderr).toBe("ringwright: interrupted; nothing was left half-written\n");
        expect(text === "old" || text.endsWith("</html>\n")).toBe(true);
      } else {
        // After the last file, the signal's own default ends it, or it had ended.
        expect([0, null]).toContain(status);
        expect(text).toMatch(/<\/html>\n$/);
      }
    },
  );
});

describe("the built program, many at once", () => {
  const charge = (kilograms: number, more: string[]) => [
    ...["plan", "charge", "--mass", `${kilograms}kg`, "--alloy", "Cu80Sn20", "--json", "out.json", "--quiet"],
    ...more,
  ];
  const started = (argv: string[], cwd: string) =>
    new Promise<{ status: number | null; stderr: string }>((done) => {
      const child = spawn(bin, argv, { cwd, stdio: ["ignore", "ignore", "pipe"] });
      let stderr = "";
      child.stderr.on("data", (chunk) => {
        stderr += chunk;
      });
      child.on("close", (status) => done({ status, stderr }));
    });

  it("ringwright writing one file from several processes leaves one whole file", {
    timeout: 60_000,
  }, async () => {
    const cwd = temporaryFolder();
    const once = await Promise.all([1, 2, 3, 4].map((kg) => started(charge(kg, []), cwd)));
    expect(once.map(({ status }) => status).sort()).toEqual([0, 2, 2, 2]);
    for (const { status, stderr } of once) {
      expect(stderr).toMatch(status === 0 ? /^$/ : /^ringwright: out\.json is already there; [^\n]+\n$/);
    }
    const forced = await Promise.all([1, 2, 3, 4].map((kg) => started(charge(kg, ["--force"]), cwd)));
    expect(forced.map(({ status }) => status)).toEqual([0, 0, 0, 0]);
    const { charge: written } = JSON.parse(readFileSync(join(cwd, "out.json"), "utf8"));
    expect(written).toBeTypeOf("object");
    expect(readdirSync(cwd)).toEqual(["out.json"]);
  });

  it("ringwright series add from several processes at once loses no pass", { timeout: 60_000 }, async () => {
    const scenario = SCENARIOS.find(({ name }) => name === "series add")!;
    const cwd = temporaryFolder();
    scenario.prepare(cwd);
    const all = await Promise.all([1, 2, 3, 4].map(() => started(scenario.argv, cwd)));
    expect(all.map(({ status }) => status)).toEqual([0, 0, 0, 0]);
    expect(readSeries(readFileSync(join(cwd, "row.yaml"), "utf8")).bells[0]!.passes).toHaveLength(5);
  });
});
