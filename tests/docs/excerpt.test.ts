import { describe, expect, it } from "vitest";
import { findExcerpt } from "./excerpt.ts";

const OUTPUT = `bell.flac: 16 bit, E6 +0 ± 33 cents
partial  Hz               dB
1 hum     500.02 ±0.04   -44
2 prime  1000.30 ±0.10    -3
7 partials in all
`;

describe("findExcerpt", () => {
  it("findExcerpt gives null where a word differs, is missing, or stands in another order", () => {
    expect(findExcerpt("1 tierce 500.02 ±0.04", OUTPUT)).toBeNull();
    expect(findExcerpt("7 partials\n...\n1 hum", OUTPUT)).toBeNull();
    // E6 is a name, not a number.
    expect(findExcerpt("16 bit, E5 +0", OUTPUT)).toBeNull();
  });

  it("findExcerpt lets a number move within its interval, and no further", () => {
    expect(findExcerpt("1 hum 500.06 ±0.04 -44", OUTPUT)!.differences).toEqual([]);
    expect(findExcerpt("1 hum 500.07 ±0.04 -44", OUTPUT)!.differences).toEqual(["500.07 is 500.02 now"]);
    expect(findExcerpt("E6 -20 ± 33 cents", OUTPUT)!.differences).toEqual([]);
  });

  it("findExcerpt lets an interval double or halve, and no more", () => {
    expect(findExcerpt("1 hum 500.02 ±0.08", OUTPUT)!.differences).toEqual([]);
    expect(findExcerpt("1 hum 500.02 ±0.09", OUTPUT)!.differences).toEqual(["0.09 is 0.04 now"]);
  });

  it("findExcerpt wants whole numbers exactly and others to their last digit", () => {
    expect(findExcerpt("8 partials in all", OUTPUT)!.differences).toEqual(["8 is 7 now"]);
    expect(findExcerpt("prime 1000.30 ±0.10 -4", OUTPUT)!.differences).toEqual(["-4 is -3 now"]);
  });

  it("findExcerpt gives the lines as they are now, gaps kept", () => {
    expect(findExcerpt("1 hum 500.05 ±0.04 -44\n...\n7 partials", OUTPUT)!.text).toBe(
      "1 hum     500.02 ±0.04   -44\n...\n7 partials in all",
    );
  });
});
