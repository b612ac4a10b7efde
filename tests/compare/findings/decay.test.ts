import { describe, expect, test } from "vitest";
import { emptyMeasurement, soundBell } from "../../support/sample-measurement.ts";
import { churchBell, clockBell } from "../support/published-bells.ts";
import { bellLike, inOtherAlloy, oneStrike } from "../support/sample-castings.ts";
import { judged } from "./judged.ts";

/** The sound bell with each partial's decay time multiplied. */
const ringing = (times: number[]) =>
  bellLike((spec, i) => ({ ...spec, lossFactor: spec.lossFactor / times[i] }));

describe("decay", () => {
  test("decay cannot be judged without pairs or between different patterns", () => {
    expect(judged("decay", emptyMeasurement(), soundBell()).outcome).toBe("not-measurable");
    expect(judged("decay", churchBell(), clockBell())).toMatchObject({
      outcome: "not-measurable",
      clause: null,
    });
  });

  test("decay of the same casting did not change", () => {
    expect(judged("decay", soundBell(), soundBell()).clause).toMatch(
      /^the decay did not change \(B over A: 1\.0\d* ± 0\.\d+\)$/,
    );
  });

  test("decay of all partials alike is told with one ratio, and the other castings' caveat", () => {
    const { clause, text } = judged("decay", soundBell(), inOtherAlloy(1, 0.5));
    expect(clause).toMatch(
      /^B rings 2\.00\d* ± 0\.\d+ times as long as A in all 8 paired partials together, more than/,
    );
    expect(text).toContain("may differ by about 30 %");
  });

  test("decay tells the lowest partials apart from the highest where their ratios differ", () => {
    const { clause } = judged("decay", soundBell(), ringing([2.1, 2.1, 2.1, 2.1, 2.1, 1.2, 1.2, 1.2]));
    expect(clause).toMatch(
      /^B rings 2\.1\d* ± \S+ times as long as A in its five lowest partials and 1\.2\d* ± \S+ times in its three highest partials, more than strike-to-strike spread$/,
    );
  });

  test("decay tells longer ones and shorter ones, by name where they are few", () => {
    const { clause } = judged("decay", soundBell(), ringing([1, 1.8, 1, 1, 0.5, 1, 1, 1]));
    expect(clause).toMatch(
      /^B rings 1\.8\d* ± \S+ times as long as A in the prime and B rings 0\.5\d* ± \S+ times as long as A in the nominal, more/,
    );
  });

  test("decay that changed by less than is heard is said to be so", () => {
    const sharp = (m: ReturnType<typeof soundBell>) => ({
      ...m,
      partials: m.partials.map((p) => ({
        ...p,
        decayTimeS: { ...p.decayTimeS, ci95: p.decayTimeS.value / 1000 },
        strikeSpreadS: p.decayTimeS.value / 2000,
      })),
    });
    const { clause } = judged(
      "decay",
      sharp(soundBell()),
      sharp(ringing([1, 1, 1, 1, 1, 1, 1, 1].map(() => 1.03))),
    );
    expect(clause).toContain("less than is heard");
  });

  test("decay with one strike is held against the fits, and says no more", () => {
    const { clause, text } = judged("decay", oneStrike(soundBell()), inOtherAlloy(1, 0.5));
    expect(clause).toContain("more than the intervals of the fits");
    expect(text).not.toContain("strike-to-strike");
  });
});
