import { mkdirSync, readdirSync, readFileSync, symlinkSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { fakeEngine, folderWith, ringwright, Sink, temporaryFolder } from "../harness.ts";

describe("tap on bad input", () => {
  it("tap of an empty or foreign file exits 2 with one sentence that names it", async () => {
    const cwd = folderWith({ "empty.wav": "", "notes.txt": "dear diary" });
    for (const name of ["empty.wav", "notes.txt"]) {
      const { status, stdout, stderr } = await ringwright(["tap", name, "--json", "out.json"], { cwd });
      expect(status).toBe(2);
      expect(stdout).toBe("");
      expect(stderr).toBe(`ringwright: ${name}: this is not audio; export it as WAV\n`);
    }
    expect(readdirSync(cwd).sort()).toEqual(["empty.wav", "notes.txt"]);
  });

  it("tap of a missing file exits 2 and suggests the nearest name", async () => {
    const cwd = folderWith({ "first-bell.wav": "sound" });
    const { status, stderr } = await ringwright(["tap", "frist-bell.wav"], { cwd });
    expect(status).toBe(2);
    expect(stderr).toBe("ringwright: frist-bell.wav: there is no such file; did you mean first-bell.wav?\n");
  });

  it("tap of a pattern without a match exits 2", async () => {
    const { status, stderr } = await ringwright(["tap", "bells/*.wav"]);
    expect(status).toBe(2);
    expect(stderr).toBe("ringwright: bells/*.wav: no file matches; check the pattern and the folder\n");
  });

  it("tap of a folder exits 2 and says how to name what is in it", async () => {
    const cwd = temporaryFolder();
    mkdirSync(join(cwd, "bells"));
    const { status, stderr } = await ringwright(["tap", "bells"], { cwd });
    expect(status).toBe(2);
    expect(stderr).toContain('bells: this is a folder; name the files in it, for example "bells/*.wav"');
  });

  it("tap of a file that cannot be opened exits 2", async () => {
    const cwd = folderWith({ "bell.wav": "sound" });
    symlinkSync("loop.wav", join(cwd, "loop.wav"));
    const circle = await ringwright(["tap", "loop.wav"], { cwd });
    expect(circle.status).toBe(2);
    expect(circle.stderr).toContain("loop.wav: its links lead in a circle");
    const through = await ringwright(["tap", "bell.wav/x.wav"], { cwd });
    expect(through.status).toBe(2);
    expect(through.stderr).toContain("part of this path is a file, not a folder");
  });

  it("tap of a terminal as standard input exits 2 rather than wait", async () => {
    const { status, stderr } = await ringwright(["tap", "-"], { stdinIsTerminal: true });
    expect(status).toBe(2);
    expect(stderr).toContain("standard input is a terminal");
  });

  it("tap of a recording without a strike exits 1 and writes nothing", async () => {
    const cwd = folderWith({ "hiss.wav": "faint" });
    const { status, stdout, stderr } = await ringwright(["tap", "hiss.wav", "--json", "out.json"], { cwd });
    expect(status).toBe(1);
    expect(stdout).toBe("");
    expect(stderr).toBe(
      "ringwright: hiss.wav: no strike stands out of the noise; move the microphone closer\n",
    );
    expect(readdirSync(cwd)).toEqual(["hiss.wav"]);
  });
});

describe("tap of several recordings", () => {
  it("tap pools them as one casting, in the order given", async () => {
    const cwd = folderWith({ "b.wav": "sound b", "a.wav": "sound a" });
    const engine = fakeEngine();
    expect((await ringwright(["tap", "b.wav", "a.wav"], { cwd, engine })).status).toBe(0);
    expect(engine.calls.map(({ files }) => files)).toEqual([["b.wav", "a.wav"]]);
  });

  it("tap expands a quoted glob in natural order and takes a file once", async () => {
    const cwd = folderWith({ "s10.wav": "sound 10", "s2.wav": "sound 2", "s1.wav": "sound 1" });
    const engine = fakeEngine();
    const { status, stderr } = await ringwright(["tap", "s2.wav", "s*.wav", "./s1.wav"], { cwd, engine });
    expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
    expect(engine.calls[0]!.files).toEqual(["s2.wav", "s1.wav", "s10.wav"]);
  });

  it("tap takes a name that looks like a glob as it is", async () => {
    const cwd = folderWith({ "bell [1].wav": "sound" });
    const engine = fakeEngine();
    expect((await ringwright(["tap", "bell [1].wav"], { cwd, engine })).status).toBe(0);
    expect(engine.calls[0]!.files).toEqual(["bell [1].wav"]);
  });

  it("tap reports a bad one, measures the rest and exits with the worst status", async () => {
    const cwd = folderWith({ "good.wav": "sound", "bad.wav": "text" });
    const engine = fakeEngine();
    const { status, stdout, stderr } = await ringwright(["tap", "bad.wav", "good.wav", "gone.wav"], {
      cwd,
      engine,
    });
    expect(status).toBe(2);
    expect(stdout).toContain("is sound");
    expect(stderr).toContain("bad.wav: this is not audio");
    expect(stderr).toContain("gone.wav: there is no such file");
    expect(engine.calls[0]!.files).toEqual(["good.wav"]);
  });

  it("tap lets a fault of its own outweigh an unreadable file", async () => {
    const cwd = folderWith({ "good.wav": "sound", "bad.wav": "text", "odd.wav": "fault" });
    const { status, stderr } = await ringwright(["tap", "odd.wav", "bad.wav", "good.wav"], { cwd });
    expect(status).toBe(70);
    expect(stderr).toContain("odd.wav: a fault of the tool itself (cannot read properties of undefined);");
  });

  it("tap keeps status 2 of a bad file when the rest cannot be measured", async () => {
    const cwd = folderWith({ "hiss.wav": "faint", "bad.wav": "text" });
    expect((await ringwright(["tap", "hiss.wav", "bad.wav"], { cwd })).status).toBe(2);
  });

  it("tap counts a byte-for-byte copy once and says so", async () => {
    const cwd = folderWith({ "a.wav": "sound", "copy.wav": "sound" });
    const engine = fakeEngine();
    const { status, stderr } = await ringwright(["tap", "a.wav", "copy.wav"], { cwd, engine });
    expect(status).toBe(0);
    expect(stderr).toBe("ringwright: copy.wav: the same recording as a.wav, so it is counted once\n");
    expect(engine.calls[0]!.files).toEqual(["a.wav"]);
  });
});

describe("tap and its results", () => {
  it("tap prints the summary on stdout and what the reader forgave on stderr", async () => {
    const cwd = folderWith({ "bell.wav": "sound forgiven" });
    const { status, stdout, stderr } = await ringwright(["tap", "bell.wav"], { cwd });
    expect(status).toBe(0);
    expect(stdout).toBe("bell is sound\n");
    expect(stderr).toBe(
      "ringwright: bell.wav: the header gives no length, so the file was read to its end\n",
    );
  });

  it("tap prints the JSON alone for --json -", async () => {
    const { status, stdout, stderr } = await ringwright(["tap", "-", "--json", "-"], { stdin: "sound" });
    expect({ status, stderr }).toEqual({ status: 0, stderr: "" });
    expect(JSON.parse(stdout)).toEqual({ schema: "ringwright.tap/1", label: "standard input" });
  });

  it("tap prints the HTML alone for --html - and still writes the JSON file", async () => {
    const cwd = temporaryFolder();
    const argv = ["tap", "-", "--html", "-", "--json", "out.json"];
    const { status, stdout } = await ringwright(argv, { cwd, stdin: "sound" });
    expect(status).toBe(0);
    expect(stdout).toMatch(/^<!doctype html>/);
    expect(readdirSync(cwd)).toEqual(["out.json"]);
  });

  it("tap writes the files it is asked for and leaves no other behind", async () => {
    const cwd = folderWith({ "bell.wav": "sound" });
    const argv = ["tap", "bell.wav", "--html=report.html", "--json=out.json"];
    expect((await ringwright(argv, { cwd })).stdout).toBe("bell is sound\n");
    expect(readdirSync(cwd).sort()).toEqual(["bell.wav", "out.json", "report.html"]);
    expect(readFileSync(join(cwd, "report.html"), "utf8")).toContain("8 samples");
  });

  it("tap leaves the sound out with --no-audio", async () => {
    const { stdout } = await ringwright(["tap", "-", "--html", "-", "--no-audio"], { stdin: "sound" });
    expect(stdout).toContain("no samples");
  });

  it("tap tells a person at a terminal where the report is", async () => {
    const stderr = Object.assign(new Sink(), { isTTY: true });
    await ringwright(["tap", "-", "--html", "bell.html"], { stdin: "sound", stderr });
    expect(stderr.text).toBe("ringwright: wrote bell.html\n");
  });

  it("tap says nothing at all with --quiet when all is well", async () => {
    const cwd = folderWith({ "bell.wav": "sound" });
    const outcome = await ringwright(["tap", "bell.wav", "--quiet", "--json", "out.json"], { cwd });
    expect(outcome).toEqual({ status: 0, stdout: "", stderr: "" });
  });

  it("tap refuses a pin that names no partial of the profile, before it measures", async () => {
    const engine = fakeEngine();
    const { status, stderr } = await ringwright(["tap", "-", "--pin", "nominl=1000"], {
      stdin: "sound",
      engine,
    });
    expect(status).toBe(2);
    expect(stderr).toMatch(/--pin names "nominl", which is no partial of the profile [\w-]+; it has hum, /);
    expect(engine.calls).toEqual([]);
  });

  it("tap hands its options on, with defaults for the rest", async () => {
    const engine = fakeEngine();
    const world = { stdin: "sound", engine };
    await ringwright(["tap", "-"], world);
    const full = [
      "--label",
      "<b>x</b>",
      "--a4",
      "442.5",
      "--ridges",
      "12",
      "--pin",
      "hum=261.5",
      "--pin",
      "prime=522",
    ];
    await ringwright(["tap", "-", ...full], { ...world });
    expect(engine.calls.map(({ options }) => options)).toMatchObject([
      { label: "standard input", a4Hz: 440, ridges: null, pins: {} },
      { label: "<b>x</b>", a4Hz: 442.5, ridges: 12, pins: { hum: 261.5, prime: 522 } },
    ]);
  });

  it("tap shows no progress off a terminal", async () => {
    const stderr = new Sink();
    await ringwright(["tap", "-"], { stdin: "sound", stderr });
    expect(stderr.text).toBe("");
  });
});

describe("tap and files that are there", () => {
  it("tap refuses to overwrite without --force, before it measures", async () => {
    const cwd = folderWith({ "bell.wav": "sound", "out.json": "precious" });
    const engine = fakeEngine();
    const { status, stderr } = await ringwright(["tap", "bell.wav", "--json", "out.json"], { cwd, engine });
    expect(status).toBe(2);
    expect(stderr).toBe(
      "ringwright: out.json is already there; add --force to replace it, or name another file\n",
    );
    expect(engine.calls).toEqual([]);
    expect(readFileSync(join(cwd, "out.json"), "utf8")).toBe("precious");
  });

  it("tap replaces with --force", async () => {
    const cwd = folderWith({ "bell.wav": "sound", "out.json": "old" });
    expect((await ringwright(["tap", "bell.wav", "--json", "out.json", "--force"], { cwd })).status).toBe(0);
    expect(readFileSync(join(cwd, "out.json"), "utf8")).toContain("ringwright.tap/1");
  });

  it("tap keeps the old file when measuring fails under --force", async () => {
    const cwd = folderWith({ "hiss.wav": "faint", "out.json": "old" });
    expect((await ringwright(["tap", "hiss.wav", "--json", "out.json", "--force"], { cwd })).status).toBe(1);
    expect(readFileSync(join(cwd, "out.json"), "utf8")).toBe("old");
  });

  it("tap never writes over a recording, even with --force", async () => {
    const cwd = folderWith({ "bell.wav": "sound" });
    const { status, stderr } = await ringwright(["tap", "bell.wav", "--json", "./bell.wav", "--force"], {
      cwd,
    });
    expect(status).toBe(2);
    expect(stderr).toContain("would replace an input");
    expect(readFileSync(join(cwd, "bell.wav"), "utf8")).toBe("sound");
  });
});
