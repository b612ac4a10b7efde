import { describe, expect, it } from "vitest";
import { updateResidual } from "../../src/partials/residual.ts";
import { noiseOfResidual } from "../../src/spectrum/index.ts";
import { lineOf } from "./lines.ts";
import { openerOf, RING_SD, ringDownOf } from "./rings.ts";
import { RATE_HZ, searchOf, VARIANCE } from "./searches.ts";

describe("updateResidual", () => {
  it("updateResidual(all lines known) leaves every step of the ladder under a tenth of a line's noise", () => {
    const lines = [
      lineOf({ frequencyHz: 60, alpha: 10 }),
      lineOf({ frequencyHz: 1200, alpha: 2 }),
      lineOf({ frequencyHz: 5000, alpha: 300, cRe: Float64Array.of(2) }),
    ];
    const search = searchOf(lines);
    updateResidual(search, false);
    for (const { size, re, im } of search.residual) {
      // A line is taken off as far as its skirt is over a tenth of the noise: what is left of all of them is less than their sum.
      const limit = 0.1 * lines.length * Math.sqrt(size * VARIANCE);
      for (let k = 0; k < re[0].length; k++) expect(Math.hypot(re[0][k], im[0][k])).toBeLessThan(limit);
    }
  });

  it("updateResidual(no lines) is the recording, and can be asked again after lines were found", () => {
    const line = lineOf({ frequencyHz: 700, alpha: 3 });
    const search = searchOf([line]);
    search.lines = [];
    updateResidual(search, false);
    expect(search.residual[0].re[0]).toEqual(search.ladder[0].re[0]);
    search.lines = [line];
    updateResidual(search, false);
    const top = search.ladder[0].re[0].reduce((a, v) => Math.max(a, Math.abs(v)), 0);
    const left = search.residual[0].re[0].reduce((a, v) => Math.max(a, Math.abs(v)), 0);
    expect(left / top).toBeLessThan(1e-3);
  });

  it("updateResidual(renewing the noise) never takes the noise of a short transform under that of the longest", () => {
    const search = searchOf([]);
    const fast = lineOf({ frequencyHz: 3000, alpha: 400 });
    const ringing = searchOf([fast]);
    ringing.lines = [];
    updateResidual(ringing, true);
    for (let l = 1; l < ringing.ladder.length; l++) {
      ringing.noise[l][0].variance.forEach((v, i) => {
        expect(v).toBeGreaterThanOrEqual(ringing.noise[0][0].variance[i]);
      });
    }
    updateResidual(search, true);
    expect(search.noise[0][0].variance.every((v) => v === 0)).toBe(true);
  });

  it("updateResidual(lines that are lost in the noise before the ends of the spectrum) leaves a tenth of it at the most", () => {
    // |c| fs over the noise of the longest transform is some 720 rad/s or 3600: a line of 5 kHz is lost long before zero.
    const lines = [0.001, 0.005].map((c, i) =>
      lineOf({ frequencyHz: 5000 + 1000 * i, alpha: 2 + 40 * i, cRe: Float64Array.of(c) }),
    );
    const search = searchOf(lines);
    updateResidual(search, false);
    for (const { size, re, im } of search.residual) {
      const worst = re[0].reduce((top, x, k) => Math.max(top, Math.hypot(x, im[0][k])), 0);
      expect(worst).toBeLessThan(0.1 * lines.length * Math.sqrt(size * VARIANCE));
    }
  });

  it("updateResidual leaves the transforms as they were, and the noise unless it is to be renewed", () => {
    const search = searchOf([lineOf({ frequencyHz: 700, alpha: 3, cIm: Float64Array.of(0.2) })]);
    const before = search.ladder.map(({ re, im }) => [re[0].slice(), im[0].slice()]);
    const noise = [...search.noise];
    updateResidual(search, false);
    expect(search.noise).toEqual(noise);
    search.ladder.forEach(({ re, im }, l) => {
      expect([re[0], im[0]]).toEqual(before[l]);
    });
  });

  it("updateResidual(white noise, renewed) has every transform's noise at that of the longest or above", () => {
    const search = openerOf(ringDownOf([], 21))(0, 0)!;
    updateResidual(search, true);
    const [longest, ...shorter] = search.noise.map(([{ variance }]) => variance);
    const least = shorter.map((variance) => Math.min(...variance.map((v, i) => v / longest[i])));
    expect(Math.min(...least)).toBe(1);
    // Medians of 60 and more bins: the middle one within 30 %, two of its standard errors.
    const middle = longest.toSorted()[longest.length >> 1];
    expect(Math.abs(middle / RING_SD ** 2 - 1)).toBeLessThan(0.3);
  });

  it.each([
    [5000, 2e-4, 3],
    [5000, 2e-4, 60],
    [3000, 1e-3, 3],
  ])(
    "updateResidual(a line at %d Hz, |c| = %d, %d /s) takes it off where its skirt is over a tenth of the quietest noise, and there alone",
    (frequencyHz, c, alpha) => {
      const line = lineOf({
        frequencyHz,
        alpha,
        cRe: Float64Array.of(0.6 * c),
        cIm: Float64Array.of(-0.8 * c),
      });
      const search = searchOf([line]);
      for (const [{ centresHz, variance }] of search.noise) {
        variance.fill(4e-6);
        // The quietest is far from the line.
        variance[centresHz.length - 1] = VARIANCE;
      }
      updateResidual(search, false);
      search.ladder.forEach(({ size, re }, l) => {
        const bin = (2 * Math.PI * RATE_HZ) / size;
        // |c| fs over the distance is the skirt; a tenth of the root of N S.
        const reach = (10 * c * RATE_HZ) / Math.sqrt(size * VARIANCE) + 10 * alpha;
        const left = search.residual[l].re[0];
        const [from, to] = [(line.omega - reach) / bin, (line.omega + reach) / bin];
        const wrong = [...re[0].keys()].filter((k) => {
          const same = left[k] === re[0][k];
          return k < Math.floor(from) || k > Math.ceil(to) ? !same : k > from && k < to && same;
        });
        expect(wrong, `${size}`).toEqual([]);
      });
    },
  );

  it("updateResidual(a line under 1.5 kHz, or one that reaches down to nothing) takes it off from 0 Hz on, its image with it", () => {
    const low = lineOf({ frequencyHz: 1000, alpha: 3, cRe: Float64Array.of(1e-4) });
    const wide = lineOf({ frequencyHz: 2000, alpha: 3, cRe: Float64Array.of(0.05) });
    for (const line of [low, wide]) {
      const search = searchOf([line]);
      updateResidual(search, false);
      const [{ size, re }] = search.ladder;
      const bin = (2 * Math.PI * RATE_HZ) / size;
      const c = Math.hypot(line.cRe[0], line.cIm[0]);
      const reach = (10 * c * RATE_HZ) / Math.sqrt(size * VARIANCE) + 10 * line.alpha;
      const to = (line.omega + reach + 2 * Math.PI * 1500) / bin;
      const { re: left, im: leftIm } = search.residual[0];
      // Of line and image less is left than a thousandth of the noise.
      const limit = 1e-3 * Math.sqrt(size * VARIANCE);
      const wrong = [...re[0].keys()].filter((k) =>
        k > Math.ceil(to) ? left[0][k] !== re[0][k] : k < to && Math.hypot(left[0][k], leftIm[0][k]) > limit,
      );
      expect(wrong).toEqual([]);
    }
  });

  it("updateResidual(renewing the noise) measures it in what is left of each channel, with the floor that is given", () => {
    const line = lineOf({ frequencyHz: 3000, alpha: 3 });
    const search = searchOf([line]);
    search.noiseFloor = 3e-9;
    updateResidual(search, true);
    const [longest, ...shorter] = search.residual.map(({ re, im, size }) =>
      noiseOfResidual(re[0], im[0], size, RATE_HZ, 3e-9),
    );
    expect(search.noise[0][0]).toEqual(longest);
    shorter.forEach(({ centresHz, variance }, l) => {
      expect(search.noise[l + 1][0]).toEqual({
        centresHz,
        variance: variance.map((v, i) => Math.max(v, longest.variance[i])),
      });
    });
    expect(Math.min(...longest.variance)).toBe(3e-9);
  });
});
