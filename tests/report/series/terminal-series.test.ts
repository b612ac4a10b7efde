import { describe, expect, it } from "vitest";
import { terminalSeries } from "../../../src/report/index.ts";
import { hostileSeries, sampleSeries } from "./sample-series.ts";

const plain = { colour: false, width: 100 };

describe("terminalSeries", () => {
  it("terminalSeries never prints a control character or a wider line than the terminal", () => {
    const text = terminalSeries(hostileSeries("\u001b[31m\u202e<b>\r\n"), { colour: false, width: 60 });
    // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters to look for
    expect(text).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u202e]/);
    for (const width of [40, 72, 100, 160]) {
      for (const line of terminalSeries(sampleSeries(), { colour: false, width }).split("\n")) {
        expect([...line].length, line).toBeLessThanOrEqual(width);
      }
    }
  });

  it("terminalSeries tells deviations with intervals, neighbours, decay times and the next cut of each bell", () => {
    const text = terminalSeries(sampleSeries(), plain);
    expect(text).toMatch(/^invented: 12 bells\nequal temperament, A4 at 440 Hz, profile minor-third/);
    expect(text).toMatch(/bell 1 +523\.25 Hz +\+\d+\.\d+ ± 0\.\d+/);
    expect(text).toMatch(/intervals between neighbours/);
    expect(text).toMatch(
      /- bell 1: take off [\d.]+ g at the inner lip; the \w+ will then\s+lie\s+[-+][\d.]+ ± [\d.]+ cents/,
    );
    expect(text).toMatch(/- bell 2: no cut: its last pass could not be measured; record it again/);
    expect(text).toMatch(/! Recordings that could not be measured: Not measured: bell 2-3\.wav/);
  });

  it("terminalSeries carries the cautions wherever a cut is shown, and only there", () => {
    const result = sampleSeries();
    for (const caution of [
      /licensed practice/,
      /lathe takes hold/,
      /hearing protection/,
      /Bronze dust/,
      /grinding wheel/,
    ]) {
      expect(terminalSeries(result, plain)).toMatch(caution);
    }
    for (const bell of result.bells) bell.nextCut = null;
    expect(terminalSeries(result, plain)).not.toMatch(/Before you cut/);
  });

  it("terminalSeries sets colour only where asked", () => {
    expect(terminalSeries(sampleSeries(2), plain)).not.toContain("\u001b");
    expect(terminalSeries(sampleSeries(2), { ...plain, colour: true })).toContain("\u001b[1m");
  });
});
