import { mkdirSync, readdirSync, readFileSync, rmSync, utimesSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { profileById } from "../../../src/bell/index.ts";
import { SeriesCache } from "../../../src/cli/commands/series-cache.ts";
import type { Engine } from "../../../src/cli/index.ts";
import { ringwright, temporaryFolder } from "../harness.ts";
import { countingEngine, SERIES, saved, withSeries } from "./garden-row.ts";

describe("the cache of series", () => {
  it("series measures each pass once, its recordings together, and again only what is new", async () => {
    const cwd = withSeries();
    const { engine, measured } = countingEngine();
    expect((await ringwright(["series", "row.yaml"], { cwd, engine })).status).toBe(0);
    expect(measured.splice(0)).toEqual(["first-0.wav", "first-1.wav+first-1b.wav", "second-0.wav"]);
    expect((await ringwright(["series", "row.yaml"], { cwd, engine })).status).toBe(0);
    expect(measured.splice(0)).toEqual([]);
    // Renamed is not new; changed is.
    writeFileSync(join(cwd, "row.yaml"), SERIES.replace("second-0.wav", "renamed.wav"));
    writeFileSync(join(cwd, "renamed.wav"), "sound of second-0.wav");
    writeFileSync(join(cwd, "first-0.wav"), "sound of another strike");
    await ringwright(["series", "row.yaml", "--json", "out.json"], { cwd, engine });
    expect(measured.splice(0)).toEqual(["first-0.wav"]);
    expect(saved(cwd).bells[1]!.passes[0]!.recordings).toEqual(["renamed.wav"]);
  });

  it("series measures again what another temper of A4 or profile makes different", async () => {
    const cwd = withSeries();
    const { engine, measured } = countingEngine();
    await ringwright(["series", "row.yaml"], { cwd, engine });
    measured.splice(0);
    writeFileSync(join(cwd, "row.yaml"), SERIES.replace("bells:", "profile: handbell\nbells:"));
    await ringwright(["series", "row.yaml"], { cwd, engine });
    expect(measured).toHaveLength(3);
  });

  it.skipIf(process.platform === "win32")(
    "series neither looks for nor keeps a measurement of what is no file: a device may have no end",
    async () => {
      const cwd = temporaryFolder();
      const cache = new SeriesCache(cwd, "method");
      const options = { label: "a", a4Hz: 440, profile: "minor-third", ridges: null, pins: {} };
      const job = (path: string) => ({ paths: [path], options, profile: profileById("minor-third")! });
      expect(await cache.keyOf(job("/dev/zero"))).toBe(null);
      writeFileSync(join(cwd, "a.wav"), "sound");
      expect(await cache.keyOf(job(join(cwd, "a.wav")))).toMatch(/^[0-9a-f]{64}$/);
    },
  );

  it("series takes a cache that was deleted, cut short or tampered with for empty", async () => {
    const cwd = withSeries();
    const { engine, measured } = countingEngine();
    await ringwright(["series", "row.yaml"], { cwd, engine });
    const cache = join(cwd, ".ringwright-cache");
    expect(readFileSync(join(cache, "CACHEDIR.TAG"), "utf8")).toMatch(
      /^Signature: 8a477f597d28d172789f06886806bc55\n/,
    );
    const kept = readdirSync(cache).filter((name) => name.endsWith(".json"));
    expect(kept).toHaveLength(3);
    const whole = readFileSync(join(cache, kept[0]!), "utf8");
    for (const text of [
      "",
      whole.slice(0, -20),
      "null",
      '{"measurement": null}',
      whole.replace('"partials":[', '"partials":[1,'),
    ]) {
      measured.splice(0);
      writeFileSync(join(cache, kept[0]!), text);
      await ringwright(["series", "row.yaml"], { cwd, engine });
      expect(measured, text.slice(0, 30)).toHaveLength(1);
    }
    rmSync(cache, { recursive: true });
    measured.splice(0);
    expect((await ringwright(["series", "row.yaml"], { cwd, engine })).status).toBe(0);
    expect(measured).toHaveLength(3);
  });

  it("series keeps each result as soon as it is there: a run that ends midway measures nothing twice", async () => {
    const cwd = withSeries();
    const first = countingEngine();
    let calls = 0;
    const dying: Engine = {
      ...first.engine,
      measureTap: async (...given) => {
        if (++calls === 3) throw new TypeError("the power went");
        return first.engine.measureTap(...given);
      },
    };
    expect((await ringwright(["series", "row.yaml"], { cwd, engine: dying })).status).toBe(70);
    expect(first.measured).toHaveLength(2);
    const { engine, measured } = countingEngine();
    expect((await ringwright(["series", "row.yaml"], { cwd, engine })).status).toBe(0);
    expect(measured).toEqual(["second-0.wav"]);
  });

  it("series clears away what a killed run left half-written, once it is old", async () => {
    const cwd = withSeries();
    const { engine } = countingEngine();
    const cache = join(cwd, ".ringwright-cache");
    mkdirSync(cache);
    for (const name of [".old.json.1.tmp", ".new.json.2.tmp"]) writeFileSync(join(cache, name), "{");
    utimesSync(join(cache, ".old.json.1.tmp"), 1000, 1000);
    await ringwright(["series", "row.yaml"], { cwd, engine });
    expect(readdirSync(cache).filter((name) => name.endsWith(".tmp"))).toEqual([".new.json.2.tmp"]);
  });
});
