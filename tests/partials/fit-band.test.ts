import { describe, expect, it } from "vitest";
import type { Band } from "../../src/partials/band.ts";
import {
  type BandFit,
  boundsAround,
  DECAY_RATE_MAX,
  DECAY_RATE_MIN,
  FitScratch,
  fitBand,
} from "../../src/partials/fit-band.ts";
import { Projection } from "../../src/partials/projection.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { type BandLine, bandOfPlan, PLAN, polesOfLines } from "./bands.ts";

const LINES: BandLine[] = [
  { frequencyHz: 999.2, alpha: 4, c: [[0.02, -0.01]] },
  { frequencyHz: 1001.1, alpha: 6, c: [[-0.01, 0.015]] },
];
const exact = (): Band => bandOfPlan({ ...PLAN, lines: LINES });
/** Half a linewidth and half as fast again off. */
const START = polesOfLines([
  { frequencyHz: 999.8, alpha: 6 },
  { frequencyHz: 1001.9, alpha: 4 },
]);

const fitted = (band: Band, start = START, iterations?: number): BandFit =>
  fitBand(band, start, boundsAround(start.alpha), new FitScratch(), iterations);

describe("fitBand", () => {
  it("fitBand(a NaN among the bins) stops where it began: no step lowers the residual", () => {
    const band = exact();
    band.channels[0].im[3] = Number.NaN;
    const fit = fitted(band);
    expect(fit.stop).toBe("no step lowers the residual");
    expect(fit.poles).toEqual(START);
  });

  it("fitBand(no poles) has nothing to fit, and says what is left", () => {
    const band = exact();
    const fit = fitted(band, polesOfLines([]));
    const p = new Projection();
    p.evaluate(band, polesOfLines([]));
    expect(fit).toEqual({
      poles: polesOfLines([]),
      rss: p.rss,
      stop: "nothing to fit",
      iterations: 0,
      boundsHit: 0,
    });
  });

  it("fitBand(exact bins) recovers the poles from half a linewidth and half the decay rate off", () => {
    const fit = fitted(exact());
    expect(fit.stop).toBe("converged");
    expect(fit.boundsHit).toBe(0);
    LINES.forEach((line, j) => {
      // Stops at gains under 1e-3 nats of bins in which a line has rho |c|^2 fs/(2 alpha S), some 5e5: 1e-3 of a standard
      // deviation sqrt(2/rho) alpha would be 1e-5, and convergence is quadratic.
      expect(Math.abs(fit.poles.alpha[j] - line.alpha)).toBeLessThan(1e-4);
      expect(Math.abs(fit.poles.omega[j] - 2 * Math.PI * line.frequencyHz)).toBeLessThan(1e-4);
    });
  });

  it("fitBand(two channels) finds common poles though the second channel has another mixture", () => {
    const lines = LINES.map(
      (line, j): BandLine => ({ ...line, c: [line.c[0], j === 0 ? [0.001, 0.03] : [0.02, 0]] }),
    );
    const fit = fitted(bandOfPlan({ ...PLAN, lines, channels: 2, noise: [1e-6, 1e-5] }));
    expect(fit.stop).toBe("converged");
    lines.forEach((line, j) => {
      expect(Math.abs(fit.poles.omega[j] - 2 * Math.PI * line.frequencyHz)).toBeLessThan(1e-4);
    });
  });

  it("fitBand(start, one iteration) stops at the limit, with a better residual and a capped step", () => {
    const band = exact();
    const far = polesOfLines([{ frequencyHz: 985, alpha: 4 }]);
    const p = new Projection();
    p.evaluate(band, far);
    const fit = fitted(band, far, 1);
    expect(fit.stop).toBe("iteration limit");
    expect(fit.iterations).toBe(1);
    expect(fit.rss).toBeLessThan(p.rss);
    // Two half linewidths (alpha) and a bin in frequency, a factor 1.6 in decay rate.
    const bin = (2 * Math.PI * PLAN.sampleRateHz) / PLAN.size;
    expect(Math.abs(fit.poles.omega[0] - far.omega[0])).toBeLessThanOrEqual(2 * 4 + bin + 1e-9);
    expect(Math.abs(fit.poles.alpha[0] - 4)).toBeLessThanOrEqual(0.6 * 4 + 0.05 + 1e-9);
  });

  it("fitBand(decay rate out of the bounds) ends on the bound and counts it", () => {
    const band = bandOfPlan({ ...PLAN, lines: [LINES[1]] });
    const start = polesOfLines([{ frequencyHz: 1001, alpha: 6 / 20 }]);
    const fit = fitted(band, start);
    expect(fit.boundsHit).toBe(1);
    expect(fit.poles.alpha[0]).toBe(8 * start.alpha[0]);
  });

  it("fitBand(a line beyond the last bin) ends on the edge of the band and counts it", () => {
    const band = bandOfPlan({ ...PLAN, lines: [{ frequencyHz: 1024, alpha: 4, c: [[0.3, 0]] }] });
    const fit = fitted(band, polesOfLines([{ frequencyHz: 1015, alpha: 4 }]));
    expect(fit.boundsHit).toBe(1);
    expect(fit.poles.omega[0]).toBe(band.omega[band.count - 1]);
  });

  it("fitBand returns its evidence whole, never above the residual of its start, whatever the start", () => {
    const random = makeRandom(11);
    const band = bandOfPlan({ ...PLAN, lines: LINES, random });
    const p = new Projection();
    for (let trial = 0; trial < 60; trial++) {
      const start = polesOfLines(
        Array.from({ length: 1 + (trial % 4) }, () => ({
          frequencyHz: random.between(985, 1015),
          alpha: random.logBetween(0.1, 100),
        })),
      );
      p.evaluate(band, start);
      const scratch = new FitScratch();
      const fit = fitBand(band, start, boundsAround(start.alpha), scratch);
      expect(fit.rss).toBeLessThanOrEqual(p.rss);
      expect(["converged", "no step lowers the residual", "iteration limit"]).toContain(fit.stop);
      expect(fit.iterations).toBeGreaterThan(0);
      expect(fit.iterations).toBeLessThanOrEqual(40);
      expect(fit.boundsHit).toBeLessThanOrEqual(start.alpha.length);
      expect(scratch.work).toBeGreaterThan(0);
      // The projection that is left behind is that of the returned poles.
      expect(scratch.current.rss).toBe(fit.rss);
      p.evaluate(band, fit.poles);
      expect(p.rss / fit.rss).toBeCloseTo(1, 9);
      for (const x of [...fit.poles.alpha, ...fit.poles.omega]) expect(Number.isFinite(x)).toBe(true);
    }
  });

  /** A line in noise, its rho some 4e5. */
  const noisy = () =>
    bandOfPlan({
      ...PLAN,
      lines: [{ frequencyHz: 1000.1, alpha: 5, c: [[0.02, 0.01]] }],
      random: makeRandom(3),
    });

  it("fitBand(a line in noise) converges to the same place from 60 starts, within 20 steps", () => {
    const random = makeRandom(5);
    const band = noisy();
    const best = fitted(band, polesOfLines([{ frequencyHz: 1000.1, alpha: 5 }]));
    for (let trial = 0; trial < 60; trial++) {
      const frequencyHz = random.between(998, 1002.2);
      const fit = fitted(band, polesOfLines([{ frequencyHz, alpha: random.logBetween(1, 30) }]));
      expect(fit.stop).toBe("converged");
      expect(fit.iterations).toBeLessThan(20);
      // What a step would still gain is under five times the tolerance, 5e-3 nats.
      expect(fit.rss - best.rss).toBeLessThan(5e-3);
    }
  });

  it("fitBand(one step more) never leaves a larger residual, and spends work in proportion to its steps", () => {
    const random = makeRandom(6);
    const band = bandOfPlan({ ...PLAN, lines: LINES, random });
    for (let trial = 0; trial < 20; trial++) {
      const start = polesOfLines(
        Array.from({ length: 2 }, () => ({
          frequencyHz: random.between(990, 1010),
          alpha: random.logBetween(0.5, 50),
        })),
      );
      let last = Number.POSITIVE_INFINITY;
      for (let steps = 1; steps <= 12; steps++) {
        const { rss } = fitted(band, start, steps);
        expect(rss).toBeLessThanOrEqual(last);
        last = rss;
      }
    }
  });

  it.each([1, 2])(
    "fitBand(%d channels, one step) counts bins times channels times columns squared",
    (channels) => {
      const lines = LINES.map((line): BandLine => ({ ...line, c: [line.c[0], line.c[0]] }));
      const band = bandOfPlan({ ...PLAN, lines, channels, noise: [1e-6, 1e-6].slice(0, channels) });
      const scratch = new FitScratch();
      fitBand(band, START, boundsAround(START.alpha), scratch, 1);
      expect(scratch.work).toBe(81 * channels * 3 ** 2);
    },
  );

  it.each([
    [985, 0.3],
    [1000.1, 0.05],
    [1005, 4],
  ])(
    "fitBand(%d Hz, %d /s, one step) changes the decay rate by 0.6 of itself and 0.05 /s at the most",
    (hz, alpha) => {
      const fit = fitted(noisy(), polesOfLines([{ frequencyHz: hz, alpha }]), 1);
      // The first step would go further: the cap itself is reached.
      expect(fit.poles.alpha[0] - alpha).toBeCloseTo(0.6 * alpha + 0.05, 9);
    },
  );

  it("fitBand(poles that coincide) has no step, spends nothing and says so", () => {
    const scratch = new FitScratch();
    const twice = polesOfLines([
      { frequencyHz: 1000.6, alpha: 4 },
      { frequencyHz: 1000.6, alpha: 4 },
    ]);
    const fit = fitBand(noisy(), twice, boundsAround(twice.alpha), scratch);
    expect(fit.stop).toBe("no step lowers the residual");
    expect(fit.poles).toEqual(twice);
    expect(scratch.work).toBe(0);
  });

  it("fitBand(scratch that has served a smaller fit) finds what a fresh one does", () => {
    const scratch = new FitScratch();
    fitBand(exact(), polesOfLines([LINES[0]]), boundsAround(Float64Array.of(4)), scratch);
    const fit = fitBand(exact(), START, boundsAround(START.alpha), scratch);
    expect(fit.poles).toEqual(fitted(exact()).poles);
  });

  it("fitBand(a line slower than the bounds, one below the first bin) ends there and counts it", () => {
    const slow = fitted(
      bandOfPlan({ ...PLAN, lines: [{ frequencyHz: 1001, alpha: 0.3, c: [[0.01, 0]] }] }),
      polesOfLines([{ frequencyHz: 1001, alpha: 10 }]),
    );
    expect(slow.poles.alpha[0]).toBe(10 / 8);
    expect(slow.boundsHit).toBe(1);
    const band = bandOfPlan({ ...PLAN, lines: [{ frequencyHz: 976, alpha: 4, c: [[0.3, 0]] }] });
    const low = fitted(band, polesOfLines([{ frequencyHz: 985, alpha: 4 }]));
    expect(low.poles.omega[0]).toBe(band.omega[0]);
    expect(low.boundsHit).toBe(1);
  });

  it("fitBand leaves its start as it was", () => {
    const start = polesOfLines([{ frequencyHz: 999, alpha: 3 }]);
    fitted(exact(), start);
    expect(start).toEqual(polesOfLines([{ frequencyHz: 999, alpha: 3 }]));
  });
});

describe("boundsAround", () => {
  it("boundsAround(alpha) allows a factor of eight, within what a bell can do", () => {
    const { alphaMin, alphaMax } = boundsAround(Float64Array.of(5, DECAY_RATE_MIN, DECAY_RATE_MAX));
    expect(alphaMin[0]).toBe(5 / 8);
    expect(alphaMax[0]).toBe(40);
    expect(alphaMin[1]).toBe(DECAY_RATE_MIN);
    expect(alphaMax[2]).toBe(DECAY_RATE_MAX);
  });

  it("boundsAround(a line that seemed not to decay) lets it come back up to an audible decay", () => {
    // T60 of 45 s.
    expect(boundsAround(Float64Array.of(DECAY_RATE_MIN)).alphaMax[0]).toBeGreaterThan(0.15);
  });
});
