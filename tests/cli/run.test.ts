import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, it } from "vitest";
import { version } from "../../package.json";
import { BrokenSink, fakeEngine, ringwright, Sink } from "./harness.ts";

describe("run without a command", () => {
  it("run() prints short help with two examples, on stdout", async () => {
    const { status, stdout, stderr } = await ringwright([]);
    expect(status).toBe(0);
    expect(stdout.match(/^ {2}ringwright /gm)).toHaveLength(2);
    expect(stdout).toMatch(/^Usage: ringwright COMMAND/m);
    expect(stdout.split("\n").length).toBeLessThan(20);
    expect(stderr).toBe("");
  });

  it("run() lists every command in the short help and in --help", async () => {
    for (const argv of [[], ["--help"], ["help"]]) {
      const { status, stdout } = await ringwright(argv);
      expect(status).toBe(0);
      for (const name of ["tap", "completion"]) expect(stdout).toMatch(new RegExp(`^ {2}${name} `, "m"));
    }
  });

  it("run() prints the version of package.json alone", async () => {
    expect(await ringwright(["--version"])).toEqual({ status: 0, stdout: `${version}\n`, stderr: "" });
    expect(await ringwright(["-V"])).toEqual({ status: 0, stdout: `${version}\n`, stderr: "" });
  });

  it("run() prints the help of one command with its examples and the global options", async () => {
    for (const argv of [
      ["tap", "--help"],
      ["tap", "-h"],
      ["help", "tap"],
    ]) {
      const { status, stdout, stderr } = await ringwright(argv);
      expect(status).toBe(0);
      expect(stderr).toBe("");
      expect(stdout).toContain("--html <FILE>");
      expect(stdout).toContain("--no-color");
      expect(stdout).toContain("ringwright tap bell.wav");
      expect(stdout).toContain("ear protection");
    }
  });
});

describe("run on wrong usage", () => {
  const cases: [argv: string[], sentence: RegExp][] = [
    [["tpa"], /unknown command 'tpa'; did you mean tap\?$/],
    [["weigh"], /unknown command 'weigh'; see ringwright --help$/],
    [["tap", "--jsn", "x"], /unknown option '--jsn'; did you mean --json\?$/],
    [["tap", "--profil", "x", "a.wav"], /unknown option '--profil'; did you mean --profile\?$/],
    [["--versoin"], /unknown option '--versoin'; did you mean --version\?$/],
    [["tap", "--xyzzy"], /unknown option '--xyzzy'; see ringwright tap --help$/],
    [
      ["tap"],
      /tap needs RECORDING \(recordings .*\), as in ringwright tap bell.wav; see ringwright tap --help$/,
    ],
    [
      ["plan", "scale"],
      /plan scale needs MEASUREMENT \(the bell to scale\), as in ringwright plan scale bell.json --note C6; see ringwright plan scale --help$/,
    ],
    [["plan"], /say which plan command; see ringwright plan --help$/],
    [["help", "tap2"], /unknown command 'tap2'; did you mean tap\?$/],
    [["help", "weigh"], /unknown command 'weigh'; see ringwright --help$/],
    [["plan", "help", "scal"], /unknown command 'scal'; did you mean scale\?$/],
    [
      ["--label", "x"],
      /--label comes after its command, as in ringwright tap \.\.\. --label; see ringwright --help$/,
    ],
    [
      ["tap", ""],
      /tap was given an empty name; was a shell variable left unset\? see ringwright tap --help$/,
    ],
    [["tap", "a.wav", "--html", ""], /--html was given an empty name; was a shell variable left unset\? see/],
    [["tap", "a.wav", "--html"], /option '--html <FILE>' argument missing; see ringwright tap --help$/],
    [["tap", "a.wav", "--a4", "high"], /--a4 takes hertz between 300 and 600, not "high"$/],
    [["tap", "a.wav", "--a4", "Infinity"], /--a4 takes hertz between 300 and 600, not "Infinity"$/],
    [["tap", "a.wav", "--ridges", "2.5"], /--ridges takes a whole number between 1 and 360, not "2.5"$/],
    [["tap", "a.wav", "--pin", "nominal"], /--pin takes a partial and its hertz, .*, not "nominal"$/],
    [["tap", "a.wav", "--pin", "nominal=-3"], /--pin nominal takes hertz between 1 and 100000, not "-3"$/],
    [["tap", "a.wav", "--pin", "hum=1", "--pin", "hum=2"], /--pin names hum twice; keep one of them$/],
    [["completion", "bsh"], /completion knows bash, zsh, fish, not "bsh"; did you mean bash\?$/],
    [["completion", "bash", "zsh"], /too many arguments.*; see ringwright completion --help$/],
  ];
  it.each(cases)("run(%j) exits 2 with one sentence on stderr", async (argv, sentence) => {
    const { status, stdout, stderr } = await ringwright(argv);
    expect(status).toBe(2);
    expect(stdout).toBe("");
    expect(stderr.endsWith("\n")).toBe(true);
    expect(stderr.trimEnd()).toMatch(sentence);
    expect(stderr.trimEnd()).toMatch(/^ringwright: [^\n]+$/);
  });
});

describe("run with a file in the place of a command", () => {
  const folder = mkdtempSync(join(tmpdir(), "ringwright-run-"));
  for (const name of ["strike.wav", "a strike.wav", "row.yaml", "it's.wav"])
    writeFileSync(join(folder, name), "");
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it.each([
    [["strike.wav"], "ringwright tap strike.wav"],
    [["a strike.wav", "strike.wav"], "ringwright tap 'a strike.wav' strike.wav"],
    [["it's.wav"], "ringwright tap 'it'\\''s.wav'"],
    [["row.yaml"], "ringwright series row.yaml"],
  ])("run(%j) says which command to put before it", async (argv, line) => {
    const { status, stderr } = await ringwright(argv, { cwd: folder });
    expect(status).toBe(2);
    expect(stderr).toBe(
      `ringwright: ${argv[0]} is a file and not a command; say what to do with it, as in ${line}\n`,
    );
  });

  it("run() takes a word that no file can be called for an unknown command", async () => {
    for (const word of ["none.wav", "a\u0000b", "x".repeat(5000), "."]) {
      const { status, stderr } = await ringwright([word], { cwd: folder });
      expect(status).toBe(2);
      expect(stderr).toContain("unknown command");
    }
  });
});

describe("run on a fault of its own", () => {
  const broken = () =>
    fakeEngine({ openRecording: () => Promise.reject(new TypeError("x is undefined\n at y")) });

  it("run() exits 70 with one sentence and no stack trace", async () => {
    const { status, stdout, stderr } = await ringwright(["tap", "-"], { stdin: "sound", engine: broken() });
    expect(status).toBe(70);
    expect(stdout).toBe("");
    expect(stderr).toMatch(/^ringwright: -: a fault of the tool itself \(x is undefined\); [^\n]+\n$/);
  });

  it("run() shows developers the stack under RINGWRIGHT_DEBUG", async () => {
    const env = { RINGWRIGHT_DEBUG: "1" };
    const { status, stderr } = await ringwright(["tap", "-"], { stdin: "sound", engine: broken(), env });
    expect(status).toBe(70);
    expect(stderr).toContain("TypeError: x is undefined");
    expect(stderr).toMatch(/\n {4}at /);
  });

  it("run() exits 70 when what is thrown is no Error", async () => {
    const engine = fakeEngine({ measureTap: () => Promise.reject("just text") });
    const { status, stderr } = await ringwright(["tap", "-"], { stdin: "sound", engine });
    expect(status).toBe(70);
    expect(stderr).toContain("(just text)");
  });
});

describe("run when its streams fail", () => {
  it("run() takes a closed pipe on stdout for a quiet end", async () => {
    const stdout = new BrokenSink("EPIPE");
    expect(await ringwright(["tap", "-"], { stdin: "sound", stdout })).toEqual({
      status: 0,
      stdout: "",
      stderr: "",
    });
  });

  it("run() takes a closed pipe on stderr quietly and keeps the status", async () => {
    const stderr = new BrokenSink("EPIPE");
    expect((await ringwright(["tap"], { stderr })).status).toBe(2);
  });

  it("run() exits 2 with one sentence when stdout goes to a full disk", async () => {
    const stdout = new BrokenSink("ENOSPC");
    const { status, stderr } = await ringwright(["tap", "-"], { stdin: "sound", stdout });
    expect(status).toBe(2);
    expect(stderr).toMatch(/^ringwright: cannot write to standard output \(write ENOSPC\); [^\n]+\n$/);
  });
});

describe("run and colour", () => {
  const terminal = () => Object.assign(new Sink(), { isTTY: true });
  const summary = async (argv: string[], env: Record<string, string>, stdout: Sink) =>
    (await ringwright(["tap", "-", ...argv], { stdin: "sound", env, stdout })).stdout;

  it("run() colours the summary on a terminal only", async () => {
    expect(await summary([], {}, terminal())).toContain("\u001b[");
    expect(await summary([], {}, new Sink())).not.toContain("\u001b[");
  });

  it("run() keeps colour back for NO_COLOR, TERM=dumb and --no-color, but not for an empty NO_COLOR", async () => {
    expect(await summary([], { NO_COLOR: "1" }, terminal())).not.toContain("\u001b[");
    expect(await summary([], { TERM: "dumb" }, terminal())).not.toContain("\u001b[");
    expect(await summary(["--no-color"], {}, terminal())).not.toContain("\u001b[");
    expect(await summary([], { NO_COLOR: "" }, terminal())).toContain("\u001b[");
  });

  it("run() understands --no-color before the command too", async () => {
    const stdout = terminal();
    const { status } = await ringwright(["--no-color", "tap", "-"], { stdin: "sound", stdout });
    expect(status).toBe(0);
    expect(stdout.text).not.toContain("\u001b[");
  });
});
