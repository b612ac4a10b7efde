import {
  mkdirSync,
  readdirSync,
  readFileSync,
  readlinkSync,
  statSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import { basename, join } from "node:path";
import { describe, expect, it } from "vitest";
import { CliError } from "../../src/cli/exit.ts";
import { checkOutputs, unwritable, writeOutput } from "../../src/cli/outputs.ts";
import { removeLeftovers, STALE_MS, temporaryName } from "../../src/cli/temporary-files.ts";
import { temporaryFolder } from "./harness.ts";

describe("checkOutputs", () => {
  const check =
    (cwd: string, paths: string[], force = false) =>
    () =>
      checkOutputs(
        paths.map((path, i) => ({ option: ["--json", "--html"][i]!, path })),
        { cwd, force, inputs: ["-", "bell.wav"] },
      );

  it("checkOutputs(targets) refuses an empty name, a folder, and a folder that is not there", () => {
    const cwd = temporaryFolder();
    mkdirSync(join(cwd, "bells"));
    expect(check(cwd, [""])).toThrow("--json needs a file name, or - for standard output");
    expect(check(cwd, ["bells"], true)).toThrow("--json bells is a folder; name a file in it");
    expect(check(cwd, ["no/out.json"])).toThrow(
      "--json no/out.json: the folder no is not there; make it first",
    );
  });

  it("checkOutputs(targets) refuses a path through a file and a name that the system cannot hold", () => {
    const cwd = temporaryFolder();
    writeFileSync(join(cwd, "bell.wav"), "");
    expect(check(cwd, ["bell.wav/out.json"])).toThrow(
      "--json bell.wav/out.json: part of this path is a file, not a folder; check the path",
    );
    const long = `${"a".repeat(300)}.json`;
    expect(check(cwd, [long])).toThrow(`--json ${long}: this name is longer than the system allows`);
  });

  it("checkOutputs(targets) refuses two results in one place, however it is spelt", () => {
    const cwd = temporaryFolder();
    expect(check(cwd, ["-", "-"])).toThrow("--json and --html cannot both go to -");
    expect(check(cwd, ["x", "./x"])).toThrow("--json and --html cannot both go to ./x");
    expect(check(cwd, ["x", "y"])).not.toThrow();
  });

  it("checkOutputs(targets) refuses a link to an input, and two results in one place by a link", () => {
    const cwd = temporaryFolder();
    writeFileSync(join(cwd, "bell.wav"), "the only recording");
    symlinkSync("bell.wav", join(cwd, "out.json"));
    mkdirSync(join(cwd, "real"));
    symlinkSync("real", join(cwd, "linked"));
    expect(check(cwd, ["out.json"], true)).toThrow("--json out.json would replace an input");
    expect(check(cwd, ["real/new.json", "linked/new.json"])).toThrow("cannot both go to linked/new.json");
    expect(check(cwd, ["real/new.json", "linked/other.json"])).not.toThrow();
  });

  it("checkOutputs(targets) asks no --force for a device", () => {
    expect(check(temporaryFolder(), ["/dev/null"])).not.toThrow();
  });
});

describe("writeOutput", () => {
  it("writeOutput(path) leaves the file whole and nothing beside it", async () => {
    const cwd = temporaryFolder();
    const content = "x".repeat(3_000_000);
    await writeOutput("out.txt", content, { cwd, force: false });
    expect(readdirSync(cwd)).toEqual(["out.txt"]);
    expect(readFileSync(join(cwd, "out.txt"), "utf8")).toBe(content);
  });

  it("writeOutput(path) refuses a file that came to be after the check", async () => {
    const cwd = temporaryFolder();
    writeFileSync(join(cwd, "out.txt"), "theirs");
    await expect(writeOutput("out.txt", "ours", { cwd, force: false })).rejects.toThrow("already there");
    expect(readdirSync(cwd)).toEqual(["out.txt"]);
    expect(readFileSync(join(cwd, "out.txt"), "utf8")).toBe("theirs");
  });

  it("writeOutput(path) takes the temporary file away when the rename fails", async () => {
    const cwd = temporaryFolder();
    mkdirSync(join(cwd, "out.txt"));
    await expect(writeOutput("out.txt", "text", { cwd, force: true })).rejects.toBeInstanceOf(CliError);
    expect(readdirSync(cwd)).toEqual(["out.txt"]);
  });

  it("writeOutput(path) replaces what a link points to and keeps the link", async () => {
    const cwd = temporaryFolder();
    writeFileSync(join(cwd, "real.txt"), "old");
    symlinkSync("real.txt", join(cwd, "link.txt"));
    await writeOutput("link.txt", "new", { cwd, force: true });
    expect(readlinkSync(join(cwd, "link.txt"))).toBe("real.txt");
    expect(readFileSync(join(cwd, "real.txt"), "utf8")).toBe("new");
  });

  it("writeOutput(path) writes into a device instead of replacing it, and names a full one", async () => {
    const cwd = temporaryFolder();
    await writeOutput("/dev/null", "gone", { cwd, force: true });
    await expect(writeOutput("/dev/full", "text", { cwd, force: true })).rejects.toThrow("the disk is full");
  });

  it("writeOutput(path) takes a name as long as the system holds, of letters of several bytes", async () => {
    const cwd = temporaryFolder();
    // 85 letters of 3 bytes: the 255 bytes that ext4, APFS and NTFS take at least.
    const name = "鐘".repeat(85);
    await writeOutput(name, "text", { cwd, force: false });
    expect(readdirSync(cwd)).toEqual([name]);
  });

  it("writeOutput(path) keeps who may read the file that it replaces", async () => {
    const cwd = temporaryFolder();
    writeFileSync(join(cwd, "out.txt"), "old", { mode: 0o600 });
    await writeOutput("out.txt", "new", { cwd, force: true });
    expect(statSync(join(cwd, "out.txt")).mode & 0o777).toBe(0o600);
  });

  it("writeOutput(path) by many at once gives one whole file; without force only the first may", async () => {
    const cwd = temporaryFolder();
    const texts = Array.from({ length: 20 }, (_, i) => `${i}`.repeat(200_000));
    const first = await Promise.allSettled(
      texts.map((text) => writeOutput("out.txt", text, { cwd, force: false })),
    );
    const won = first.flatMap(({ status }, i) => (status === "fulfilled" ? [i] : []));
    expect(won).toHaveLength(1);
    expect(readFileSync(join(cwd, "out.txt"), "utf8")).toBe(texts[won[0]!]);
    for (const each of first) {
      if (each.status === "rejected") expect(each.reason.message).toMatch(/^out\.txt is already there; /);
    }
    await Promise.all(texts.map((text) => writeOutput("out.txt", text, { cwd, force: true })));
    expect(texts).toContain(readFileSync(join(cwd, "out.txt"), "utf8"));
    expect(readdirSync(cwd)).toEqual(["out.txt"]);
  });

  it("writeOutput(path) held up by Ctrl-C takes the temporary file away and keeps the old file", async () => {
    const cwd = temporaryFolder();
    writeFileSync(join(cwd, "out.txt"), "old");
    const before = process.listenerCount("SIGINT");
    const writing = writeOutput("out.txt", "new".repeat(1_000_000), { cwd, force: true });
    // The handler stands from the first moment on; the signal reaches it before the disk is done.
    expect(process.listenerCount("SIGINT")).toBe(before + 1);
    process.emit("SIGINT");
    await expect(writing).rejects.toMatchObject({ name: "InterruptedError", status: 130 });
    expect(readdirSync(cwd)).toEqual(["out.txt"]);
    expect(readFileSync(join(cwd, "out.txt"), "utf8")).toBe("old");
    expect(process.listenerCount("SIGINT")).toBe(before);
  });
});

describe("removeLeftovers", () => {
  it("removeLeftovers(place) removes what a killed run left of this file, and nothing else", async () => {
    const cwd = temporaryFolder();
    const place = join(cwd, "out.txt");
    const old = [temporaryName(place), temporaryName(join(cwd, "other.txt")), join(cwd, ".out.txt.mine.tmp")];
    const fresh = temporaryName(place);
    for (const path of [...old, fresh]) writeFileSync(path, "half");
    const longAgoS = (Date.now() - STALE_MS) / 1000 - 1;
    for (const path of old) utimesSync(path, longAgoS, longAgoS);
    await removeLeftovers(place);
    expect(readdirSync(cwd).sort()).toEqual([old[1]!, old[2]!, fresh].map((path) => basename(path)).sort());
  });

  it("removeLeftovers(place) where there is no folder is silent", async () => {
    await expect(removeLeftovers(join(temporaryFolder(), "no", "out.txt"))).resolves.toBeUndefined();
  });
});

describe("unwritable", () => {
  it.each([
    ["ENOSPC", /the disk is full/],
    ["EROFS", /that folder can only be read/],
    ["EFBIG", /larger than files may be here/],
    ["ENOTDIR", /part of this path is a file/],
    ["ENOENT", /the folder \. is not there/],
    ["ENAMETOOLONG", /longer than the system allows/],
    ["EACCES", /not allowed to write there/],
    ["EIO", /cannot be written \(EIO\)/],
  ])("unwritable(path, %s) says it in plain words", (code, sentence) => {
    const error = unwritable("out.html", Object.assign(new Error("system"), { code }));
    expect(error.message).toMatch(sentence);
    expect(error.message).toMatch(/^out\.html: [^\n]*;/);
    expect(error.status).toBe(2);
  });
});
