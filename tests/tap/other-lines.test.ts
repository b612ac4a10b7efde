import { describe, expect, it } from "vitest";
import type { TapPartial } from "../../src/measurement/index.ts";
import type { Mode, ModeFit } from "../../src/partials/index.ts";
import { groupPartials } from "../../src/tap/group-partials.ts";
import { otherLines } from "../../src/tap/other-lines.ts";
import { fitOf, modeAt } from "./bells.ts";

/** Only the name of a partial is read. */
const named = (...names: (string | null)[]) => names.map((name) => ({ name }) as TapPartial);

function lines(fit: ModeFit, names: (string | null)[], modes: Mode[] = fit.modes) {
  return otherLines(fit, modes, groupPartials(modes), named(...names));
}

const hum = modeAt(300);
const nominal = modeAt(1200);

describe("otherLines", () => {
  it("otherLines gives empty lists where the best strike had nothing else", () => {
    expect(lines(fitOf([hum]), ["hum"])).toEqual({ interference: [], combinations: [] });
  });

  it("otherLines names a second harmonic by its parent", () => {
    const fit = fitOf([hum, nominal], { combinations: [{ frequencyHz: 600, amplitude: 0.001, of: [0, 0] }] });
    expect(lines(fit, ["hum", "nominal"]).combinations).toEqual([
      { frequencyHz: 600, levelDb: expect.closeTo(-40, 9), of: [0, 0], text: "second harmonic of hum" },
    ]);
  });

  it("otherLines names a sum by both parents, ascending", () => {
    const fit = fitOf([hum, nominal], {
      combinations: [{ frequencyHz: 1500, amplitude: 0.001, of: [1, 0] }],
    });
    const [sum] = lines(fit, ["hum", "nominal"]).combinations;
    expect(sum.of).toEqual([0, 1]);
    expect(sum.text).toBe("sum of hum and nominal");
  });

  it("otherLines names what is made of three", () => {
    const fit = fitOf([hum, nominal], {
      combinations: [
        { frequencyHz: 900, amplitude: 0.001, of: [0, 0, 0] },
        { frequencyHz: 1800, amplitude: 0.001, of: [0, 0, 1] },
      ],
    });
    expect(lines(fit, ["hum", "nominal"]).combinations.map(({ of, text }) => [of, text])).toEqual([
      [[0, 0, 0], "third harmonic of hum"],
      [[0, 0, 1], "sum of hum, hum and nominal"],
    ]);
  });

  it("otherLines gives the frequency of a parent without a name", () => {
    const fit = fitOf([hum, nominal], { combinations: [{ frequencyHz: 600, amplitude: 0.001, of: [0, 0] }] });
    expect(lines(fit, [null, "nominal"]).combinations[0].text).toBe(
      "second harmonic of the line near 300 Hz",
    );
  });

  it("otherLines leaves out a combination whose parent did not stay after pooling", () => {
    const fit = fitOf([hum, nominal], { combinations: [{ frequencyHz: 600, amplitude: 0.001, of: [0, 0] }] });
    expect(lines(fit, ["nominal"], [nominal]).combinations).toEqual([]);
  });

  it("otherLines finds the parents in a pooled list of other frequencies", () => {
    const fit = fitOf([hum, nominal], {
      combinations: [{ frequencyHz: 2400, amplitude: 0.001, of: [1, 1] }],
    });
    const pooled = [{ ...nominal, frequencyHz: 1200.01 }];
    expect(lines(fit, ["nominal"], pooled).combinations).toEqual([
      expect.objectContaining({ of: [0, 0], text: "second harmonic of nominal" }),
    ]);
  });

  it("otherLines points at the partial of a split parent", () => {
    const fit = fitOf([hum, nominal, modeAt(1202)], {
      combinations: [{ frequencyHz: 2404, amplitude: 0.001, of: [2, 2] }],
    });
    expect(lines(fit, ["hum", "nominal"]).combinations[0].of).toEqual([1, 1]);
  });

  it("otherLines gives the level of a steady tone relative to the strongest mode", () => {
    const fit = fitOf([hum], {
      steady: [{ frequencyHz: 50, amplitude: 0.01, kind: "mains", text: "50 Hz mains" }],
    });
    expect(lines(fit, ["hum"]).interference).toEqual([
      { frequencyHz: 50, levelDb: expect.closeTo(-20, 9), kind: "mains", text: "50 Hz mains" },
    ]);
  });

  it("otherLines keeps the level of a line of no amplitude finite", () => {
    const fit = fitOf([hum], {
      steady: [{ frequencyHz: 50, amplitude: 0, kind: "mains", text: "50 Hz mains" }],
    });
    expect(Number.isFinite(lines(fit, ["hum"]).interference[0].levelDb)).toBe(true);
  });
});
