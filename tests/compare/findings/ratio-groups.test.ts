import { describe, expect, test } from "vitest";
import { groupRatio, ratioGroups, whichWords } from "../../../src/compare/findings/ratio-groups.ts";
import type { Pair } from "../../../src/compare/index.ts";
import { compareCastings } from "../../../src/compare/index.ts";
import { soundBell } from "../../support/sample-measurement.ts";
import { casting } from "../support/sample-castings.ts";

const [sample] = compareCastings([casting(soundBell()), casting(soundBell())]).pairs;
const pairs = (ratios: number[], relative = 0.02): Pair[] =>
  ratios.map((value, i) => ({ ...sample, name: `p${i}`, decayRatio: { value, ci95: relative * value } }));

describe("ratioGroups(pairs)", () => {
  test("ratioGroups(pairs) keeps together what one ratio tells, within its errors or close by", () => {
    expect(ratioGroups(pairs([2]))).toHaveLength(1);
    expect(ratioGroups(pairs([2, 2.05, 1.98]))).toHaveLength(1);
    expect(ratioGroups(pairs([2, 2.4, 2.2]))).toHaveLength(1);
    expect(ratioGroups(pairs([1, 4, 2], 2))).toHaveLength(1);
  });

  test("ratioGroups(pairs) parts at the widest gap, the group with the lowest partial first", () => {
    const groups = ratioGroups(pairs([1.2, 2.1, 1.25, 2.2]));
    expect(groups.map((group) => group.pairs.map(({ name }) => name))).toEqual([
      ["p0", "p2"],
      ["p1", "p3"],
    ]);
    expect(groups.map(groupRatio)[0]).toMatch(/^1\.2\d* ± /);
  });

  test("ratioGroups(pairs) gives a range where more than three ratios would be needed", () => {
    const groups = ratioGroups(pairs([1, 2, 4, 8, 16]));
    expect(groups).toHaveLength(1);
    expect(groupRatio(groups[0])).toBe("1 to 16");
  });
});

describe("whichWords(set, pairs)", () => {
  const all = pairs([1, 1, 1, 1, 1, 1, 1]);
  test.each([
    [[0, 1, 2, 3, 4, 5, 6], "all 7 paired partials"],
    [[0, 1, 2, 3, 4], "its five lowest partials"],
    [[5, 6], "its two highest partials"],
    [[0], "the p0"],
    [[0, 3, 6], "the p0, the p3 and the p6"],
    [[0, 1, 2, 4, 6], "five of its 7 paired partials"],
  ])("whichWords of %j is %s", (places, words) => {
    expect(
      whichWords(
        places.map((place) => all[place]),
        all,
      ),
    ).toBe(words);
  });
});
