import { describe, expect, it } from "vitest";
import { lazyEngine } from "../../src/cli/engine.ts";
import { readTapJson } from "../../src/measurement/index.ts";
import { ringwright } from "./harness.ts";
import { smallBellWav } from "./small-bell.ts";

describe("tap on a synthetic bell, with the real engine", () => {
  const world = { engine: lazyEngine, stdin: smallBellWav() };

  it("tap --json - gives a measurement that reads back, with the partials that were put in", async () => {
    const { status, stdout, stderr } = await ringwright(["tap", "-", "--json", "-"], world);
    expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
    const { partials, options } = readTapJson(stdout);
    expect(options).toEqual({
      label: "standard input",
      a4Hz: 440,
      profile: "minor-third",
      ridges: null,
      pins: {},
    });
    expect(partials.map(({ name }) => name)).toContain("nominal");
    const nominal = partials.find(({ name }) => name === "nominal")!;
    // The truth lies within twice the half-width in all but one of ten thousand.
    expect(Math.abs(nominal.frequencyHz.value - 1000)).toBeLessThan(2 * nominal.frequencyHz.ci95);
  });

  it("tap --html - gives one page with chart.js, the client and the sound in it", async () => {
    const { status, stdout, stderr } = await ringwright(
      ["tap", "-", "--html", "-", "--label", "<i>x"],
      world,
    );
    expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
    expect(stdout).toContain("Chart.js v4");
    expect(stdout).toContain("data:audio/wav;base64,");
    expect(stdout).toContain("&lt;i&gt;x");
    expect(stdout).not.toContain("<i>x");
  });

  it("tap prints a summary without colour off a terminal", async () => {
    const { stdout } = await ringwright(["tap", "-"], world);
    expect(stdout).toMatch(/nominal/);
    expect(stdout).not.toContain("\u001b");
  });

  it("tap says on stderr which pin found no partial, and measures all the same", async () => {
    const { status, stdout, stderr } = await ringwright(["tap", "-", "--pin", "nominal=1300"], world);
    expect(status).toBe(0);
    expect(stderr).toMatch(/^ringwright: -: pin nominal=1300 was left out: [^\n]+\n$/);
    expect(stdout).toContain("Hz");
  });

  it("tap of silence exits 1 with one sentence", async () => {
    const silence = smallBellWav();
    silence.fill(0, 44);
    const { status, stdout, stderr } = await ringwright(["tap", "-"], { engine: lazyEngine, stdin: silence });
    expect({ status, stdout }).toEqual({ status: 1, stdout: "" });
    expect(stderr).toMatch(/^ringwright: -: [^\n]+\n$/);
  });
});
