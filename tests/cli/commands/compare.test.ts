import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { Comparison } from "../../../src/compare/index.ts";
import { inOtherAlloy } from "../../compare/support/sample-castings.ts";
import { soundBell } from "../../support/sample-measurement.ts";
import { fakeEngine, folderWith, namedError, ringwright } from "../harness.ts";

/** A folder with two castings, each as a saved measurement and as recordings. */
function withCastings(): string {
  const cwd = folderWith({
    "one.json": JSON.stringify(soundBell()),
    "two.json": JSON.stringify({
      ...inOtherAlloy(1.022, 0.5),
      options: { ...soundBell().options, label: "Invented second heat" },
    }),
    "one-1.wav": "sound a",
    "one-2.wav": "sound b",
    "one-10.wav": "sound c",
    "two, again.wav": "sound d",
    "hiss.wav": "faint",
    "notes.txt": "dear diary",
  });
  mkdirSync(join(cwd, "heat2"));
  for (const name of ["b.wav", "a.flac", "readme.txt"])
    writeFileSync(join(cwd, "heat2", name), `sound ${name}`);
  mkdirSync(join(cwd, "empty"));
  return cwd;
}

async function compared(argv: string[], cwd = withCastings()): Promise<Comparison> {
  const { status, stdout, stderr } = await ringwright(["compare", ...argv, "--json", "-"], { cwd });
  expect(stderr).toBe("");
  expect(status).toBe(0);
  return JSON.parse(stdout);
}

async function refused(argv: string[], message: RegExp): Promise<void> {
  const cwd = withCastings();
  const { status, stdout, stderr } = await ringwright(["compare", ...argv], { cwd });
  expect(stderr).toMatch(message);
  expect(stderr.trimEnd().split("\n")).toHaveLength(1);
  expect(stdout).toBe("");
  expect(status).toBe(2);
}

describe("compare on wrong usage", () => {
  it("compare of fewer than two castings exits 2 and says how", async () => {
    await refused([], /takes two castings or more.*--demo/);
    await refused(["one.json"], /takes two castings or more/);
  });

  it("compare of what is not there, or of a folder without recordings, exits 2 and names it", async () => {
    await refused(["one.json", "tow.json"], /tow\.json: there is no such file; did you mean two\.json\?/);
    await refused(["one.json", "empty"], /empty: no recording is in this folder/);
    await refused(["one.json", "x-*.wav"], /x-\*\.wav: no file matches/);
  });

  it("compare of saved measurements mixed into one casting exits 2", async () => {
    await refused(["one.json,two.json", "one-1.wav"], /a casting is one saved measurement or its recordings/);
  });

  it("compare with more labels than castings, or a value that is none, exits 2 and names the option", async () => {
    const both = ["one.json", "two.json"];
    await refused(
      [...both, "--label", "x", "--label", "y", "--label", "z"],
      /--label is given 3 times for 2/,
    );
    await refused([...both, "--alloy", "Cu90Sn20"], /--alloy: .*100/);
    await refused([...both, "--mass", "heavy"], /--mass: /);
    await refused([...both, "--diameter", "-", "--diameter", "5kg"], /--diameter: /);
    await refused(
      [...both, "--reference", "3"],
      /--reference takes a casting's label or its number from 1 to 2/,
    );
    await refused([...both, "--profile", "minor-thrid"], /did you mean minor-third/);
  });

  it("compare of 27 files that the shell made of a pattern exits 2 and says to quote it", async () => {
    await refused(
      Array.from({ length: 27 }, () => "one.json"),
      /27 castings are too many .* quote a pattern/,
    );
  });

  it("compare --demo with castings exits 2", async () => {
    await refused(["one.json", "two.json", "--demo"], /--demo compares invented castings/);
  });

  it("compare refuses to write over an input or an existing file", async () => {
    await refused(["one.json", "two.json", "--json", "one.json"], /would replace an input/);
    await refused(["one.json", "two.json", "--html", "notes.txt"], /already there; add --force/);
  });
});

describe("compare on bad castings", () => {
  it("compare of a text, or of a recording without a strike, says what and stops", async () => {
    const cwd = withCastings();
    const text = await ringwright(["compare", "one.json", "notes.txt", "--json", "out.json"], { cwd });
    expect(text.status).toBe(2);
    expect(text.stderr).toContain("notes.txt: this is not audio");
    const hiss = await ringwright(["compare", "hiss.wav", "one.json", "--json", "out.json"], { cwd });
    expect(hiss.status).toBe(1);
    expect(hiss.stderr).toContain("hiss.wav: no strike stands out");
    expect(hiss.stderr).toContain("nothing to compare with");
    expect(existsSync(join(cwd, "out.json"))).toBe(false);
  });

  it("compare of three castings goes on without a bad one, and keeps its status", async () => {
    const cwd = withCastings();
    const { status, stdout, stderr } = await ringwright(
      ["compare", "one.json", "hiss.wav", "two.json", "--json", "-"],
      { cwd },
    );
    expect(status).toBe(1);
    expect(stderr).toContain("hiss.wav");
    expect(JSON.parse(stdout).castings).toHaveLength(2);
  });

  it("compare of a damaged saved measurement exits 2 with its one sentence", async () => {
    const cwd = folderWith({ "a.json": "{}", "b.json": JSON.stringify(soundBell()) });
    const { status, stderr } = await ringwright(["compare", "b.json", "a.json"], { cwd });
    expect(status).toBe(2);
    expect(stderr).toMatch(/a\.json: this is not a saved measurement/);
  });

  it("compare says where two castings are one measurement", async () => {
    const { status, stderr } = await ringwright(["compare", "one.json", "one.json"], { cwd: withCastings() });
    expect(status).toBe(0);
    expect(stderr).toMatch(/casting 2 \(Invented sound bell\) is the same measurement as casting 1/);
  });

  it("compare hit by a fault of the tool's own exits 70", async () => {
    const engine = fakeEngine({
      measureTap: () => Promise.reject(namedError("TypeError", "cannot read properties of undefined")),
    });
    const { status } = await ringwright(["compare", "one-1.wav", "one.json"], {
      cwd: withCastings(),
      engine,
    });
    expect(status).toBe(70);
  });
});

describe("compare", () => {
  it("compare of two saved measurements prints the result in plain words, and the pairs", async () => {
    const { status, stdout, stderr } = await ringwright(["compare", "one.json", "two.json"], {
      cwd: withCastings(),
    });
    expect(status).toBe(0);
    expect(stderr).toBe("");
    expect(stdout.replace(/\s+/g, " ")).toMatch(
      /A \(Invented sound bell\).* B \(Invented second heat\).* B rings 1\.9\d* ± .* times as long as A .*; B is 37\.67 ± 0\.10 cents higher throughout/,
    );
  });

  it("compare writes the JSON of its schema and one self-contained page", async () => {
    const cwd = withCastings();
    const argv = ["compare", "one.json", "two.json", "--json", "out.json", "--html", "out.html", "--quiet"];
    const { status, stdout } = await ringwright(argv, { cwd });
    expect(status).toBe(0);
    expect(stdout).toBe("");
    const { schema, castings, scenario } = JSON.parse(readFileSync(join(cwd, "out.json"), "utf8"));
    expect([schema, castings.length, scenario]).toEqual(["ringwright.compare/1", 2, null]);
    const html = readFileSync(join(cwd, "out.html"), "utf8");
    expect(html).toMatch(/^<!doctype html>/);
    expect(html).not.toMatch(/(src|href)="https?:/);
  });

  it("compare takes label, alloy, mass and diameter in the order of the castings, - where not known", async () => {
    const { castings, material } = await compared(
      "one.json two.json --label - --label later --alloy Cu90Sn10 --alloy CuSn20 --mass 4.2kg --mass 4.1kg --diameter - --diameter 180mm".split(
        " ",
      ),
    );
    expect(castings.map(({ label }) => label)).toEqual(["Invented sound bell", "later"]);
    expect(castings.map(({ alloy }) => alloy)).toEqual(["Cu90Sn10", "Cu80Sn20"]);
    expect(castings[0].massKg).toEqual({ value: 4.2, ci95: 0.05 });
    expect(castings.map(({ diameterM }) => diameterM?.value ?? null)).toEqual([null, 0.18]);
    expect(material!.expected!.soundSpeedRatio.value).toBeGreaterThan(1);
  });

  it("compare holds the others against the reference, by number or by label", async () => {
    for (const reference of ["2", "later"]) {
      const { a, castings } = await compared([
        "one.json",
        "two.json",
        "--label",
        "-",
        "--label",
        "later",
        "--reference",
        reference,
      ]);
      expect(a).toBe(1);
      expect(castings[1].letter).toBe("A");
    }
  });

  it("compare keeps the reference where a casting before it cannot be measured", async () => {
    const cwd = withCastings();
    const { stdout } = await ringwright(
      ["compare", "hiss.wav", "one.json", "two.json", "--reference", "3", "--json", "-"],
      { cwd },
    );
    const { a, castings } = JSON.parse(stdout);
    expect(castings[a].label).toBe("Invented second heat");
  });

  it("compare takes a pattern, a folder, a list and a name with a comma each as one casting", async () => {
    const cwd = withCastings();
    const engine = fakeEngine();
    const filesOf = async (...argv: string[]) => {
      engine.calls.length = 0;
      const { status } = await ringwright(["compare", ...argv, "--quiet"], { cwd, engine });
      expect(status).toBe(0);
      return engine.calls.map(({ files }) => files);
    };
    expect(await filesOf("one-*.wav", "heat2")).toEqual([
      ["one-1.wav", "one-2.wav", "one-10.wav"],
      ["a.flac", "b.wav"],
    ]);
    expect(await filesOf("one-1.wav,one-2.wav", "two, again.wav")).toEqual([
      ["one-1.wav", "one-2.wav"],
      ["two, again.wav"],
    ]);
    expect(await filesOf("one-{1,2}.wav", "heat2/*.wav,one-10.wav")).toEqual([
      ["one-1.wav", "one-2.wav"],
      ["b.wav", "one-10.wav"],
    ]);
  });

  it("compare calls castings by their file, pattern or folder, and measures with the profile and A asked for", async () => {
    const engine = fakeEngine();
    const argv = [
      "compare",
      "one-*.wav",
      "heat2",
      "two, again.wav",
      "--a4",
      "442",
      "--profile",
      "handbell",
      "--quiet",
    ];
    await ringwright(argv, { cwd: withCastings(), engine });
    expect(engine.calls.map(({ options }) => options)).toMatchObject([
      { label: "one", a4Hz: 442, profile: "handbell" },
      { label: "heat2" },
      { label: "two, again" },
    ]);
  });

  it("compare reads a saved measurement from standard input", async () => {
    const { status, stdout } = await ringwright(["compare", "-", "two.json", "--json", "-"], {
      cwd: withCastings(),
      stdin: JSON.stringify(soundBell()),
    });
    expect(status).toBe(0);
    expect(JSON.parse(stdout).castings[0].label).toBe("Invented sound bell");
  });

  it("compare --demo measures its invented castings like real ones, and marks every form of the result", async () => {
    const cwd = withCastings();
    const engine = fakeEngine();
    const { status, stdout } = await ringwright(
      ["compare", "--demo", "--json", "demo.json", "--html", "demo.html"],
      { cwd, engine },
    );
    expect(status).toBe(0);
    expect(engine.calls.map(({ files }) => files)).toEqual([
      ["invented-first-heat.wav"],
      ["invented-second-heat.wav"],
    ]);
    expect(stdout).toMatch(/^Invented, synthetic\. No such bell was cast/);
    expect(JSON.parse(readFileSync(join(cwd, "demo.json"), "utf8")).scenario).toMatch(
      /^No such bell was cast/,
    );
    expect(readFileSync(join(cwd, "demo.html"), "utf8")).toContain("<title>Invented: ");
  });

  it("compare --help tells of quoting patterns and of hearing", async () => {
    const { status, stdout } = await ringwright(["compare", "--help"]);
    expect(status).toBe(0);
    expect(stdout).toMatch(/Usage: ringwright compare \[options\] \[CASTING\.\.\.\]/);
    expect(stdout).toMatch(/Quote a pattern/);
    expect(stdout).toMatch(/wear ear protection/);
  });
});
