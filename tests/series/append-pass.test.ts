import { describe, expect, it } from "vitest";
import { appendPass, readSeries, STARTER_SERIES } from "../../src/series/index.ts";

const PASS = { recordings: ["first-2.wav"], removedG: 8, at: "inner lip" };

/** What was there is still there, character by character and in order. */
function isKept(old: string, now: string): boolean {
  let at = 0;
  for (const character of now) if (character === old[at]) at++;
  return at === old.length;
}

const YAML = `# my remark
set:   garden row   # spaced oddly
bells:
    - name: 'first'      # quoted
      target: C6
      passes:
        - recordings: [first-0.wav]   # as cast

        # a remark between passes
        - recordings:
            - first-1.wav
          removedG: 12
          at: inner lip               # the last word
      alloy: Cu80Sn20

    # about the second
    - name: second
      target: D6
      passes: []
    - name: third
      target: E6
# the end`;

describe("appendPass", () => {
  it("appendPass refuses a bell that is not there, and names those that are", () => {
    expect(() => appendPass(YAML, "fourth", PASS)).toThrow(
      "there is no bell called fourth; the file has first, second, third",
    );
  });

  it("appendPass writes between the lines that are there, in their indentation", () => {
    const now = appendPass(YAML, "first", PASS);
    expect(now.split("at: inner lip               # the last word\n")[1]!.split("      alloy")[0]).toBe(
      "        - recordings:\n            - first-2.wav\n          removedG: 8\n          at: inner lip\n",
    );
    expect(now.split("\n")).toHaveLength(YAML.split("\n").length + 4);
    expect(isKept(YAML, now)).toBe(true);
    expect(readSeries(now).bells[0]!.passes[2]).toMatchObject(PASS);
  });

  it.each(["second", "third"])("appendPass gives %s, which has no pass yet, its first", (name) => {
    const now = appendPass(YAML, name, PASS);
    expect(isKept(YAML, now)).toBe(true);
    expect(readSeries(now).bells.find((bell) => bell.name === name)!.passes).toHaveLength(1);
  });

  it.each([
    ["Windows lines", YAML.replaceAll("\n", "\r\n")],
    ["a byte order mark", `\ufeff${YAML}`],
    ["the starter file", STARTER_SERIES],
    [
      "JSON",
      JSON.stringify({
        set: "s",
        bells: [{ name: "first", target: "C6", passes: [{ recordings: ["a.wav"] }] }],
      }),
    ],
    [
      "JSON on many lines",
      JSON.stringify(
        { set: "s", bells: [{ name: "first", target: "C6", passes: [{ recordings: ["a.wav"] }] }] },
        null,
        2,
      ),
    ],
    ["JSON without passes", '{"set": "s", "bells": [{"name": "first", "target": "C6"}]}'],
    ["an empty key", "set: s\nbells:\n- name: first\n  target: C6\n  passes:   # none yet\n"],
    [
      "no line feed at the end",
      "set: s\nbells:\n- name: first\n  target: C6\n  passes:\n  - recordings: [a.wav]",
    ],
    [
      "a literal block",
      "set: s\nbells:\n- name: first\n  target: C6\n  passes:\n  - recordings: [a.wav]\n    note: |\n      one\n      two\n",
    ],
    [
      "a pass in braces",
      "set: s\nbells:\n- name: first\n  target: C6\n  passes:\n  - {recordings: [a.wav]}  # as cast\n",
    ],
  ])("appendPass keeps every character of %s", (_, text) => {
    const before = readSeries(text).bells[0]!.passes.length;
    const once = appendPass(text, "first", PASS);
    const twice = appendPass(once, "first", {
      recordings: ["b 3.wav", "c: d.wav"],
      metalC: 19.5,
      note: "# odd: [",
    });
    expect(isKept(text, twice)).toBe(true);
    if (text.includes("\r\n")) expect(twice.replaceAll("\r\n", "")).not.toContain("\n");
    const passes = readSeries(twice).bells[0]!.passes;
    expect(passes).toHaveLength(before + 2);
    expect(passes.at(-2)).toMatchObject(PASS);
    expect(passes.at(-1)).toMatchObject({
      recordings: ["b 3.wav", "c: d.wav"],
      metalC: 19.5,
      note: "# odd: [",
    });
  });
});
