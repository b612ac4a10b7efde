import { spawnSync } from "node:child_process";
import {
  chmodSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  writeFileSync,
} from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { resealFlac } from "../../fuzz/reseal.ts";
import { temporaryFolder } from "../harness.ts";
import { builtProgram } from "./built.ts";

const bin = builtProgram("faults");
const CHARGE = ["plan", "charge", "--mass", "12kg", "--alloy", "Cu80Sn20"];

/** Runs a line of the shell in which $BIN is the program, and tells how it ended. */
function shell(line: string, cwd = temporaryFolder()) {
  const env = { ...process.env, BIN: bin, LC_ALL: "C" };
  const { status, stdout, stderr } = spawnSync("bash", ["-c", line], { cwd, env, encoding: "utf8" });
  return { status, stdout, stderr };
}

/** A file system of our own needs either the right to mount or a user namespace; without both these tests are passed over. */
const UNSHARE = ["unshare --mount", "unshare --mount --map-root-user"].find(
  (command) => spawnSync("bash", ["-c", `${command} mount -t tmpfs none /mnt`]).status === 0,
);

/** Runs a line in a folder on a tmpfs of that many kilobytes, mounted for this line alone. */
function onSmallDisk(kilobytes: number, line: string) {
  const cwd = temporaryFolder();
  mkdirSync(join(cwd, "disk"));
  return shell(
    `${UNSHARE} bash -c 'mount -t tmpfs -o size=${kilobytes}k none disk && cd disk && ${line}'`,
    cwd,
  );
}

describe.runIf(UNSHARE !== undefined)("the built program on a full disk", () => {
  it("ringwright on a disk that fills up keeps the old file, removes its own half, says so and exits 2", () => {
    const script = `echo old > out.html; "$BIN" ${CHARGE.join(" ")} --html out.html --force; echo "status $?"; ls -A; cat out.html`;
    const { stdout, stderr } = onSmallDisk(8, script);
    expect(stderr).toBe("ringwright: out.html: the disk is full; free some space or write elsewhere\n");
    expect(stdout).toBe("status 2\nout.html\nold\n");
  });

  it("ringwright series on a disk too full for its records says so", () => {
    const row = "set: x\nbells: [{name: a, target: C6, passes: [{recordings: [a.json]}]}]";
    const script = `echo "${row}" > row.yaml; head -c 4000 /dev/zero > a.json; "$BIN" series row.yaml; echo "status $?"`;
    const { stdout, stderr } = onSmallDisk(8, script);
    expect(stderr).toMatch(/^ringwright: [^\n]*the disk is full[^\n]*\n$/);
    expect(stdout).toBe("status 2\n");
  });

  it("ringwright in a folder that can only be read says so and exits 2", () => {
    const script = `mount -o remount,ro none .; "$BIN" ${CHARGE.join(" ")} --json out.json; echo "status $?"; ls -A`;
    const { stdout, stderr } = onSmallDisk(64, `cd ../disk; ${script}`);
    expect(stderr).toBe("ringwright: out.json: that folder can only be read; name a file in another one\n");
    expect(stdout).toBe("status 2\n");
  });
});

/** Root may write everywhere, so as root the program runs as nobody. */
const AS_NOBODY = process.getuid?.() === 0 ? "setpriv --reuid=65534 --regid=65534 --clear-groups " : "";

/** A folder with a series file of one bell, whose only recording is a saved measurement. */
function seriesFolder(): string {
  const cwd = temporaryFolder();
  copyFileSync(join(import.meta.dirname, "../../../fixtures/golden/tuned.json"), join(cwd, "bell.json"));
  writeFileSync(
    join(cwd, "row.yaml"),
    "set: row\nbells:\n  - name: first\n    target: C5\n    passes:\n      - recordings: [bell.json]\n",
  );
  return cwd;
}

describe("the built program where it may not write", () => {
  it("ringwright in a folder of somebody else's says so and exits 2", () => {
    const cwd = temporaryFolder();
    chmodSync(cwd, 0o555);
    const { status, stdout, stderr } = shell(`${AS_NOBODY}"$BIN" ${CHARGE.join(" ")} --json out.json`, cwd);
    chmodSync(cwd, 0o755);
    expect(stderr).toMatch(/^ringwright: out\.json: you are not allowed to write there; [^\n]+\n$/);
    expect({ status, stdout }).toEqual({ status: 2, stdout: "" });
    expect(readdirSync(cwd)).toEqual([]);
  });

  it("ringwright series in a folder of somebody else's measures, keeps nothing there, and says so", () => {
    const cwd = seriesFolder();
    chmodSync(cwd, 0o555);
    const { status, stdout, stderr } = shell(`${AS_NOBODY}"$BIN" series row.yaml`, cwd);
    chmodSync(cwd, 0o755);
    expect(stderr).toMatch(/^ringwright: nothing can be kept in [^\n]+\n$/);
    expect(stdout).toMatch(/^row: 1 bell\n/);
    expect(status).toBe(0);
    expect(readdirSync(cwd).sort()).toEqual(["bell.json", "row.yaml"]);
  });

  it("ringwright series add leaves a series file that is protected against writing as it is", () => {
    const cwd = seriesFolder();
    chmodSync(cwd, 0o777);
    chmodSync(join(cwd, "row.yaml"), 0o444);
    const before = readFileSync(join(cwd, "row.yaml"), "utf8");
    const { status, stderr } = shell(`${AS_NOBODY}"$BIN" series add row.yaml first bell.json`, cwd);
    expect(stderr).toBe("ringwright: row.yaml: is protected against writing; take that away and try again\n");
    expect(status).toBe(2);
    expect(readFileSync(join(cwd, "row.yaml"), "utf8")).toBe(before);
  });

  it("ringwright refuses a place under a file before any work", () => {
    const cwd = temporaryFolder();
    writeFileSync(join(cwd, "bell"), "");
    const { status, stderr } = shell(`"$BIN" ${CHARGE.join(" ")} --json bell/out.json`, cwd);
    expect(stderr).toMatch(/^ringwright: --json bell\/out\.json: part of this path is a file[^\n]+\n$/);
    expect(status).toBe(2);
  });

  it("ringwright under a limit of file size keeps the old file, says so and exits 2", () => {
    const cwd = temporaryFolder();
    writeFileSync(join(cwd, "out.html"), "old");
    // In blocks of 1024 bytes; a report has some hundred thousand.
    const { status, stderr } = shell(`ulimit -f 8; "$BIN" ${CHARGE.join(" ")} --html out.html --force`, cwd);
    expect(stderr).toMatch(/^ringwright: out\.html: larger than files may be here [^\n]+\n$/);
    expect(status).toBe(2);
    expect(readdirSync(cwd)).toEqual(["out.html"]);
    expect(readFileSync(join(cwd, "out.html"), "utf8")).toBe("old");
  });
});

describe("the built program where its folder was removed", () => {
  it("ringwright in a folder that is not there any more says so and exits 2", () => {
    const { status, stdout, stderr } = shell(`mkdir gone; cd gone; rmdir ../gone; "$BIN" tap bell.wav`);
    expect(stderr).toBe(
      "ringwright: the folder you are in is not there any more; change to another one and try again\n",
    );
    expect({ status, stdout }).toEqual({ status: 2, stdout: "" });
  });
});

describe("the built program and its streams", () => {
  it("ringwright whose reader stops early ends quietly with status 0", () => {
    for (const format of ["--json -", "--html -", ""]) {
      const line = `set -o pipefail; "$BIN" ${CHARGE.join(" ")} ${format} | head -c 1; echo; "$BIN" ${CHARGE.join(" ")} ${format} | true`;
      expect(shell(line)).toMatchObject({ status: 0, stderr: "" });
    }
  });

  it("ringwright whose output cannot be written says so and exits 2", () => {
    const { status, stderr } = shell(`"$BIN" ${CHARGE.join(" ")} > /dev/full`);
    expect(stderr).toMatch(/^ringwright: cannot write to standard output \([^\n]+\); [^\n]+\n$/);
    expect(status).toBe(2);
  });

  it("ringwright whose standard error cannot be written still exits with the right status", () => {
    expect(shell(`"$BIN" tap missing.wav 2> /dev/full`)).toEqual({ status: 2, stdout: "", stderr: "" });
    expect(shell(`"$BIN" tap missing.wav 2>&-`).status).toBe(2);
    expect(shell(`"$BIN" ${CHARGE.join(" ")} --quiet 2>&-`).status).toBe(0);
  });

  it("ringwright with standard output closed writes its files all the same", () => {
    const cwd = temporaryFolder();
    expect(shell(`"$BIN" ${CHARGE.join(" ")} --json out.json >&-`, cwd).status).toBe(0);
    expect(existsSync(join(cwd, "out.json"))).toBe(true);
  });

  it("ringwright says of a damaged recording one sentence, and nothing of what its decoder says", () => {
    const cwd = temporaryFolder();
    const flac = readFileSync(join(import.meta.dirname, "../../../fixtures/audio/deep.flac"));
    // The first frame's body is nonsense and its check sum fits, so that it reaches the decoder, which complains.
    const wrong = resealFlac(flac.fill(0xa5, 120, 160));
    writeFileSync(join(cwd, "bell.flac"), wrong);
    const { status, stdout, stderr } = shell(`"$BIN" tap bell.flac`, cwd);
    expect(stderr).toMatch(/^ringwright: bell\.flac: [^\n]+\n$/);
    expect({ status, stdout }).toEqual({ status: 2, stdout: "" });
  });

  it("ringwright quotes a name with escape sequences and line breaks as one harmless line", () => {
    const { status, stderr } = shell(`"$BIN" tap $'no\\e[31m\\nsuch\\x07.wav'`);
    expect(stderr).toMatch(/^ringwright: [^\n]+\n$/);
    // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
    expect(stderr.slice(0, -1)).not.toMatch(/[\u0000-\u001f]/);
    expect(status).toBe(2);
  });
});
