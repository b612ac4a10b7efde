import { existsSync, mkdirSync, readFileSync, utimesSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { readSeries, STARTER_SERIES } from "../../../src/series/index.ts";
import { fakeEngine, ringwright, temporaryFolder } from "../harness.ts";

const SERIES = `# mine
set: row
bells:
  - name: first   # low
    target: C5
    passes:
      - recordings: [first-0.wav]
`;

function withSeries(): string {
  const cwd = temporaryFolder();
  mkdirSync(join(cwd, "rows"));
  writeFileSync(join(cwd, "rows/row.yaml"), SERIES);
  for (const name of ["a.wav", "b.wav"]) writeFileSync(join(cwd, name), `sound of ${name}`);
  writeFileSync(join(cwd, "hiss.wav"), "faint");
  return cwd;
}

const written = (cwd: string) => readFileSync(join(cwd, "rows/row.yaml"), "utf8");

describe("series add", () => {
  it("series add measures the recordings, then writes the pass behind the others, named from the file's folder", async () => {
    const cwd = withSeries();
    const args = ["series", "add", "rows/row.yaml", "first", "a.wav", "b.wav"];
    const { status, stderr } = await ringwright(
      [...args, "--removed-g", "8.5", "--at", "inner lip", "--date", "2026-05-01", "--metal-c", "19.5"],
      { cwd },
    );
    // The invented measurement has its strikes in the first recording.
    expect(stderr).toMatch(/b\.wav: no strike was found in it/);
    expect(status).toBe(1);
    expect(written(cwd).startsWith(SERIES)).toBe(true);
    expect(readSeries(written(cwd)).bells[0]!.passes[1]).toMatchObject({
      ...{
        recordings: ["../a.wav", "../b.wav"],
        removedG: 8.5,
        at: "inner lip",
        date: "2026-05-01",
        metalC: 19.5,
      },
    });
  });

  it("series add leaves the file as it is where nothing can be measured, or nothing be added", async () => {
    const cwd = withSeries();
    for (const [args, status, message] of [
      [["first", "hiss.wav"], 1, /no strike stands out.*\n.*left as it is/],
      [["first", "missing.wav"], 2, /no such file/],
      [["second", "a.wav"], 2, /row\.yaml: there is no bell called second; the file has first/],
      [["first", "a.wav", "--removed-g", "8"], 2, /at is missing; write where/],
      [["first", "a.wav", "--removed-g", "much"], 2, /--removed-g takes grams between 0/],
    ] as const) {
      const outcome = await ringwright(["series", "add", "rows/row.yaml", ...args], { cwd });
      expect(outcome.stderr).toMatch(message);
      expect(outcome.status).toBe(status);
      expect(written(cwd)).toBe(SERIES);
    }
  });

  it("series add keeps what was edited while it measured, and series measures that pass no second time", async () => {
    const cwd = withSeries();
    const engine = fakeEngine();
    const edited = SERIES.replace("# low", "# low, and edited");
    const measureTap: typeof engine.measureTap = async (...given) => {
      writeFileSync(join(cwd, "rows/row.yaml"), edited);
      return engine.measureTap(...given);
    };
    const { status } = await ringwright(["series", "add", "rows/row.yaml", "first", "a.wav"], {
      cwd,
      engine: { ...engine, measureTap },
    });
    expect(status).toBe(0);
    expect(written(cwd).startsWith(edited)).toBe(true);
    writeFileSync(join(cwd, "rows/first-0.wav"), "sound of the first");
    const again = fakeEngine();
    expect((await ringwright(["series", "rows/row.yaml"], { cwd, engine: again })).status).toBe(0);
    expect(again.calls.map(({ files }) => files)).toEqual([["first-0.wav"]]);
  });
});

describe("series add beside a lock", () => {
  it("series add takes over a lock of the past and one of the future, as a clock put back leaves it", async () => {
    for (const when of ["2001-01-01", "2101-01-01"]) {
      const cwd = withSeries();
      const lock = join(cwd, "rows/.row.yaml.lock");
      writeFileSync(lock, "");
      utimesSync(lock, new Date(when), new Date(when));
      const outcome = await ringwright(["series", "add", "rows/row.yaml", "first", "a.wav"], { cwd });
      expect(outcome).toEqual({ status: 0, stdout: "", stderr: "" });
      expect(readSeries(written(cwd)).bells[0]!.passes).toHaveLength(2);
      expect(existsSync(lock)).toBe(false);
    }
  });

  it("series add says what is in its way where a folder has the lock's name", async () => {
    const cwd = withSeries();
    const lock = join(cwd, "rows/.row.yaml.lock");
    mkdirSync(lock);
    utimesSync(lock, new Date("2001-01-01"), new Date("2001-01-01"));
    const { status, stderr } = await ringwright(["series", "add", "rows/row.yaml", "first", "a.wav"], {
      cwd,
    });
    expect(stderr).toMatch(
      /row\.yaml: cannot be changed while \.row\.yaml\.lock is beside it; take that away/,
    );
    expect(status).toBe(2);
    expect(written(cwd)).toBe(SERIES);
  });
});

describe("series add and options of series", () => {
  it("series add refuses an option that it would pass over", async () => {
    const cwd = withSeries();
    const args = ["series", "add", "rows/row.yaml", "first", "a.wav", "--html", "out.html"];
    expect(await ringwright(args, { cwd })).toEqual({
      status: 2,
      stdout: "",
      stderr:
        "ringwright: --html is an option of ringwright series, not of ringwright series add; leave it out here\n",
    });
    expect(written(cwd)).toBe(SERIES);
    const { stdout } = await ringwright(["series", "add", "--help"], { cwd });
    expect(stdout).toContain("--removed-g <GRAMS>");
    expect(stdout).toContain("--no-color");
    expect(stdout).not.toContain("--html");
  });
});

describe("series init", () => {
  it("series init writes the starter file, and never over one that is there", async () => {
    const cwd = temporaryFolder();
    expect(await ringwright(["series", "init", "row.yaml"], { cwd })).toEqual({
      status: 0,
      stdout: "",
      stderr: "",
    });
    expect(readFileSync(join(cwd, "row.yaml"), "utf8")).toBe(STARTER_SERIES);
    const again = await ringwright(["series", "init", "row.yaml"], { cwd });
    expect(again.status).toBe(2);
    expect(again.stderr).toMatch(/row\.yaml is already there/);
    expect((await ringwright(["series", "init", "-"], { cwd })).stdout).toBe(STARTER_SERIES);
  });
});
