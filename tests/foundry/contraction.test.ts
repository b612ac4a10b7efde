import { describe, expect, it } from "vitest";
import { parseComposition } from "../../src/foundry/composition.ts";
import { contractionFraction, publishedContraction } from "../../src/foundry/contraction.ts";

describe("publishedContraction", () => {
  it("publishedContraction refuses an alloy that no source names", () => {
    expect(() => publishedContraction(parseComposition("Cu85Al11Fe4"))).toThrow(
      /no published contraction .* --contraction/,
    );
    expect(() => publishedContraction(parseComposition("Cu100"))).toThrow(/no published contraction/);
  });

  it("publishedContraction of tin bronze reaches 5/32 (Dooley), 1/6 and 3/16 inch per foot (memory), and says which was read", () => {
    for (const { fraction, source } of [
      publishedContraction(null),
      publishedContraction(parseComposition("Cu78Sn22")),
    ]) {
      for (const inches of [5 / 32, 1 / 6, 3 / 16]) {
        expect(Math.abs(inches / 12 - fraction.value)).toBeLessThan(fraction.ci95 + 1e-4);
      }
      expect(source).toMatch(/Dooley.*read.*from memory/);
    }
  });

  it("publishedContraction says that a tin bronze is taken where no alloy is named, and parts its sources", () => {
    const named = publishedContraction(parseComposition("Cu80Sn20")).source;
    expect(named).toMatch(/^bronze, 5\/32 in per ft \(W\. H\. Dooley[^;]*, read\); gunmetal/);
    expect(publishedContraction(null).source).toBe(`no alloy was named, so a tin bronze is taken: ${named}`);
  });

  it("publishedContraction of silicon bronze is larger than that of tin bronze (1/4 inch per foot, C87200 sheet)", () => {
    const { fraction } = publishedContraction(parseComposition("Cu96Si4"));
    expect(fraction.value + fraction.ci95).toBeCloseTo(0.0208, 9);
  });
});

describe("contractionFraction", () => {
  it("contractionFraction is counted on the casting, as contraction rules are: 12 3/16 in for a foot is 1.5625 %", () => {
    const seen = contractionFraction(12 + 3 / 16, { value: 12, ci95: 0.012 });
    expect(seen.value).toBeCloseTo(0.015625, 12);
    expect(seen.ci95).toBeCloseTo(1.015625 * 0.001, 12);
  });
});
