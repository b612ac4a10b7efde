import { describe, expect, it } from "vitest";
import { seriesCsv } from "../../../src/report/index.ts";
import { sampleSeries } from "./sample-series.ts";

/** Reads RFC 4180 as its grammar says, without the code under test. */
function parseCsv(text: string): string[][] {
  const rows: string[][] = [[]];
  let cell = "";
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const character = text[i]!;
    if (quoted && character === '"' && text[i + 1] === '"') cell += text[++i]!;
    else if (character === '"') quoted = !quoted;
    else if (!quoted && (character === "," || character === "\r")) {
      rows.at(-1)!.push(cell);
      cell = "";
      if (character === "\r") {
        expect(text[++i]).toBe("\n");
        rows.push([]);
      }
    } else cell += character;
  }
  expect(rows.pop()).toEqual([]);
  return rows;
}

describe("seriesCsv", () => {
  it("seriesCsv keeps every row as long as its head, with a mark for UTF-8 and CRLF lines", () => {
    const text = seriesCsv(sampleSeries());
    expect(text.startsWith("\ufeffbell,")).toBe(true);
    const [head, ...rows] = parseCsv(text.slice(1));
    // Twelve bells, four passes, five partials; the failed pass has one bare row.
    expect(rows).toHaveLength(12 * 4 * 5 - 4);
    for (const row of rows) expect(row).toHaveLength(head!.length);
    const bare = rows.filter((row) => row[head!.indexOf("partial")] === "");
    expect(bare.map((row) => row.slice(0, 3))).toEqual([["bell 2", expect.any(String), "4"]]);
  });

  it("seriesCsv writes numbers that read back as they were, to ten digits", () => {
    const result = sampleSeries(2);
    const [head, row] = parseCsv(seriesCsv(result).slice(1));
    const { frequencyHz, deviationCents } = result.bells[0]!.passes[0]!.partials[0]!;
    const at = (name: string) => Number(row![head!.indexOf(name)]);
    expect(Math.abs(at("frequency (Hz)") / frequencyHz.value - 1)).toBeLessThan(5e-10);
    expect(Math.abs(at("deviation (cents)") / deviationCents.value - 1)).toBeLessThan(5e-10);
  });

  it("seriesCsv leads a text that a spreadsheet would run with an apostrophe, and leaves negative numbers alone", () => {
    const result = sampleSeries(2);
    const texts = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", " =1", 'a "b", c', "two\r\nlines"];
    const written = texts.map((name) => {
      result.bells[0]!.name = name;
      return parseCsv(seriesCsv(result).slice(1))[1]![0];
    });
    expect(written).toEqual([
      "'=1+1",
      "'+1",
      "'-1",
      "'@SUM(A1)",
      "'\t=1",
      "' =1",
      'a "b", c',
      "two\r\nlines",
    ]);
    const quint = parseCsv(seriesCsv(result).slice(1)).find((row) => row.includes("quint"))!;
    expect(quint.some((cell) => /^-\d/.test(cell))).toBe(true);
  });
});
