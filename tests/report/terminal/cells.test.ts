import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { cellWidth, cut, padEnd, padStart, printable, wrap } from "../../../src/report/terminal/cells.ts";

describe("cellWidth", () => {
  test.each([
    ["", 0],
    ["hum", 3],
    ["e\u0301", 1],
    ["\u9418", 2],
    ["\u{1f514}", 2],
    ["\u00b1\u2013", 2],
  ])("cellWidth(%j) is %d", (text, cells) => {
    expect(cellWidth(text)).toBe(cells);
  });
});

describe("printable", () => {
  test("printable(text) leaves nothing that moves the cursor, recolours, or turns the direction", () => {
    expect(printable("a\u001b[2Jb\r\n\u009bc\u202ed\u2066e")).toBe(
      "a\ufffd[2Jb\ufffd\ufffd\ufffdc\ufffdd\ufffde",
    );
  });

  test("printable(text) makes the typographic minus and the fixed space plain", () => {
    expect(printable("\u22123\u00a0dB")).toBe("-3 dB");
  });
});

describe("cut", () => {
  test("cut(text, cells) keeps what fits and shows that something is lost", () => {
    expect(cut("nominal", 7)).toBe("nominal");
    expect(cut("nominal", 4)).toBe("nom\u2026");
    expect(cut("\u9418\u9418\u9418", 4)).toBe("\u9418\u2026");
  });
});

describe("padStart and padEnd", () => {
  test("padEnd(text, cells) and padStart(text, cells) count cells, and never cut", () => {
    expect([padEnd("\u9418", 4), padStart("a", 3), padEnd("abc", 2)]).toEqual(["\u9418  ", "  a", "abc"]);
  });
});

describe("wrap", () => {
  test("wrap('', 10, 2) is one empty line", () => {
    expect(wrap("", 10, 2)).toEqual([""]);
  });

  test("wrap(text, cells, indent) breaks at spaces, indents what follows, keeps fixed spaces together", () => {
    expect(wrap("aaa bbb ccc\u00a0ddd e", 10, 2)).toEqual(["aaa bbb", "  ccc ddd", "  e"]);
  });

  test("wrap(text, cells, indent) never passes the width and loses no letter, whatever comes", () => {
    const word = fc.string({ unit: fc.constantFrom("a", "b", "\u9418", "\u00b1"), maxLength: 30 });
    fc.assert(
      fc.property(fc.array(word, { maxLength: 12 }), fc.integer({ min: 8, max: 40 }), (words, cells) => {
        const lines = wrap(words.join(" "), cells, 2);
        for (const line of lines) expect(cellWidth(line)).toBeLessThanOrEqual(cells);
        expect(lines.join("").replace(/ /g, "")).toBe(words.join(""));
      }),
      { seed: 5, numRuns: 300 },
    );
  });
});
