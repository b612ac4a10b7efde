import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { Engine } from "../../../src/cli/index.ts";
import { soundBell } from "../../support/sample-measurement.ts";
import { ringwright, Sink } from "../harness.ts";
import { countingEngine, RECORDINGS, SERIES, saved, withSeries } from "./garden-row.ts";

describe("series on bad input", () => {
  it("series of a file with a slip exits 2 and names the file and the line", async () => {
    const cwd = withSeries();
    writeFileSync(join(cwd, "row.yaml"), SERIES.replace("target: D5", "target: H5"));
    const { status, stdout, stderr } = await ringwright(["series", "row.yaml"], { cwd });
    expect({ status, stdout }).toEqual({ status: 2, stdout: "" });
    expect(stderr).toBe(
      'ringwright: row.yaml: line 11: bells[1].target is "H5"; write a note such as C6, or hertz from 10 to 20000\n',
    );
  });

  it("series goes on past a missing, a foreign and a faint recording, and names them at the end", async () => {
    const cwd = withSeries({ "first-0.wav": "dear diary", "first-1b.wav": "faint" });
    rmSync(join(cwd, "second-0.wav"));
    const { engine } = countingEngine({
      // The faint recording decodes, and has no strike in it.
      measureTap: async (inputs, options) => {
        const bell = soundBell();
        const recordings = inputs.map(({ file }) => ({ ...bell.recordings[0]!, file }));
        return {
          ...bell,
          options,
          recordings,
          recording: recordings[0]!,
          strikes: [bell.strikes[0]!],
          findings: [],
        };
      },
    });
    const { status, stdout, stderr } = await ringwright(["series", "row.yaml", "--json", "out.json"], {
      cwd,
      engine,
    });
    expect(status).toBe(2);
    expect(stdout).toContain("garden row: 2 bells");
    expect(stderr.split("\n").map((line) => line.replace(/^ringwright: /, ""))).toEqual([
      "first-0.wav: this is not audio; export it as WAV",
      "first-1b.wav: no strike was found in it",
      expect.stringMatching(/^second-0\.wav: .*there is no such file/),
      "",
    ]);
    expect(saved(cwd).failed.map(({ recording }) => recording)).toEqual([
      "first-0.wav",
      "first-1b.wav",
      "second-0.wav",
    ]);
    expect(saved(cwd).bells[0]!.passes.map(({ measured }) => measured)).toEqual([false, true]);
  });

  it("series of a bell whose partials the profile does not name exits 1 and names it", async () => {
    const cwd = withSeries();
    const { engine } = countingEngine();
    const unnamed: Engine = {
      ...engine,
      measureTap: async (...given) => {
        const bell = await engine.measureTap(...given);
        return {
          ...bell,
          partials: bell.partials.map((partial) => ({ ...partial, name: null, nameConfidence: null })),
        };
      },
    };
    const { status, stderr } = await ringwright(["series", "row.yaml"], { cwd, engine: unnamed });
    expect(status).toBe(1);
    expect(stderr).toMatch(
      /^ringwright: first-0\.wav: no partial of it could be named by the profile minor-third/,
    );
  });

  it("series of which nothing can be measured exits 1 and writes nothing", async () => {
    const cwd = withSeries(Object.fromEntries(RECORDINGS.map((name) => [name, `faint ${name}`])));
    const { status, stdout, stderr } = await ringwright(["series", "row.yaml", "--json", "out.json"], {
      cwd,
    });
    expect({ status, stdout }).toEqual({ status: 1, stdout: "" });
    expect(stderr.match(/no strike stands out of the noise/g)).toHaveLength(4);
    expect(existsSync(join(cwd, "out.json"))).toBe(false);
  });

  it("series never replaces a result, a recording or a tap report unasked", async () => {
    const cwd = withSeries();
    const { engine } = countingEngine();
    writeFileSync(join(cwd, "out.json"), "mine");
    mkdirSync(join(cwd, "taps"));
    writeFileSync(join(cwd, "taps/01-first-pass-1.html"), "mine");
    for (const [options, message] of [
      [["--json", "out.json"], /out\.json is already there; add --force/],
      [["--csv", "first-0.wav"], /would replace an input/],
      [["--tap-reports", "taps"], /01-first-pass-1\.html is already there/],
      [["--tap-reports", "row.yaml"], /is a file; name a folder/],
    ] as const) {
      const { status, stderr } = await ringwright(["series", "row.yaml", ...options], { cwd, engine });
      expect(status).toBe(2);
      expect(stderr).toMatch(message);
    }
    expect(readFileSync(join(cwd, "out.json"), "utf8")).toBe("mine");
  });
});

describe("series", () => {
  it("series takes a saved measurement where it takes a recording, blanks before it or not", async () => {
    const cwd = withSeries();
    const { engine, measured } = countingEngine();
    writeFileSync(join(cwd, "row.yaml"), SERIES.replace("second-0.wav", "second.json"));
    writeFileSync(join(cwd, "second.json"), `\n ${JSON.stringify(soundBell())}`);
    expect((await ringwright(["series", "row.yaml", "--json", "out.json"], { cwd, engine })).status).toBe(0);
    expect(measured).toEqual(["first-0.wav", "first-1.wav+first-1b.wav"]);
    expect(saved(cwd).bells[1]!.passes[0]!.partials.length).toBeGreaterThan(3);
  });

  it("series corrects for temperature only when asked, and shows the coefficient and its source", async () => {
    const cwd = withSeries();
    const { engine } = countingEngine();
    writeFileSync(
      join(cwd, "row.yaml"),
      SERIES.replace("[second-0.wav]", "[second-0.wav]\n        metalC: 30"),
    );
    await ringwright(["series", "row.yaml", "--json", "out.json"], { cwd, engine });
    const plain = saved(cwd);
    expect(plain.temperature).toBeNull();
    const args = ["series", "row.yaml", "--temperature", "20", "--json", "out.json", "--force"];
    const { stdout } = await ringwright(args, { cwd, engine });
    const { temperature, bells } = saved(cwd);
    expect(temperature).toMatchObject({ toC: 20, coefficientPerK: { value: expect.any(Number) } });
    expect(stdout).toMatch(/Brought to 20 °C by \(.* ± .*\) × 10⁻⁴ per kelvin/);
    const raised = bells[1]!.passes[0]!.partials[0]!.frequencyHz;
    const measured = plain.bells[1]!.passes[0]!.partials[0]!.frequencyHz;
    expect(raised.value / measured.value).toBeCloseTo(1 - 10 * temperature!.coefficientPerK.value, 9);
    expect(bells[0]!.passes[0]!.temperatureCorrected).toBe(false);
  });

  it("series writes CSV to standard output alone, and tap reports that the report links to", async () => {
    const cwd = withSeries();
    const { engine } = countingEngine();
    const csv = await ringwright(["series", "row.yaml", "--csv", "-"], { cwd, engine });
    expect(csv.stdout).toMatch(/^\ufeffbell,.*\r\nfirst,/);
    const args = ["series", "row.yaml", "--tap-reports", "tap reports", "--html", "-"];
    const { status, stdout } = await ringwright(args, { cwd, engine });
    expect({ status, tops: stdout.slice(0, 15) }).toEqual({ status: 0, tops: "<!doctype html>" });
    expect(readdirSync(join(cwd, "tap reports"))).toEqual([
      "01-first-pass-1.html",
      "01-first-pass-2.html",
      "02-second-pass-1.html",
    ]);
    await ringwright(
      ["series", "row.yaml", "--tap-reports", "tap reports", "--html", "row.html", "--force"],
      { cwd, engine },
    );
    expect(readFileSync(join(cwd, "row.html"), "utf8")).toContain(
      'href="tap%20reports/01-first-pass-2.html"',
    );
  });

  it("series shows what it measures on a terminal, after a second of work", async () => {
    const cwd = withSeries();
    const stderr = Object.assign(new Sink(), { isTTY: true });
    const { engine } = countingEngine();
    const slow: Engine = {
      ...engine,
      measureTap: async (...given) => {
        await new Promise((resolve) => setTimeout(resolve, 600));
        return engine.measureTap(...given);
      },
    };
    await ringwright(["series", "row.yaml"], { cwd, engine: slow, stderr });
    expect(stderr.text).toMatch(/measuring 3 of 3, about \d+ s left: second-0\.wav/);
  });
});
