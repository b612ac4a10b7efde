import { describe, expect, test } from "vitest";
import { type TextColumn, textTable } from "../../../src/report/terminal/columns.ts";

const columns: TextColumn[] = [
  { head: "partial", align: "left", cells: ["hum", "octave nominal"], dropOrder: 0 },
  { head: "Hz", align: "right", cells: ["261.2", "2171.5"], dropOrder: 1 },
  { head: "dB", align: "right", cells: ["-8", "0"], dropOrder: 2 },
];

describe("textTable", () => {
  test("textTable([], width) has one empty line and drops nothing", () => {
    expect(textTable([], 80)).toEqual({ lines: [""], dropped: [] });
  });

  test("textTable(columns, width) lines the cells up", () => {
    expect(textTable(columns, 80)).toEqual({
      lines: ["partial             Hz  dB", "hum              261.2  -8", "octave nominal  2171.5   0"],
      dropped: [],
    });
  });

  test("textTable(columns, width) gives up the highest drop order first and says so; order 0 stays", () => {
    expect(textTable(columns, 24).dropped).toEqual(["dB"]);
    expect(textTable(columns, 5)).toEqual({
      lines: ["partial", "hum", "octave nominal"],
      dropped: ["dB", "Hz"],
    });
  });
});
