import { readdirSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { REGISTER } from "../../../src/compare/findings/register.ts";
import { emptyMeasurement, soundBell } from "../../support/sample-measurement.ts";
import { sampleStrike } from "../../support/sample-parts.ts";
import { churchBell, clockBell } from "../support/published-bells.ts";
import { inOtherAlloy, oneStrike } from "../support/sample-castings.ts";
import { judged } from "./judged.ts";

/** Files of the folder that are no findings. */
const HELPERS = ["ratio-groups", "register", "rule", "test-words"];

describe("REGISTER", () => {
  test("REGISTER holds every finding of the folder once, under the name of its file", () => {
    const files = readdirSync(new URL("../../../src/compare/findings/", import.meta.url)).map((name) =>
      name.replace(/\.ts$/, ""),
    );
    expect(REGISTER.map(({ id }) => id).sort()).toEqual(
      files.filter((name) => !HELPERS.includes(name)).sort(),
    );
  });
});

describe("strike-note", () => {
  test("strike-note of different methods says that the difference may be one of method", () => {
    const b = soundBell();
    const other = { ...b, strikeNote: { ...b.strikeNote!, method: "dominant spectral pitch" } };
    expect(judged("strike-note", b, other).text).toContain("may be one of method");
    expect(judged("strike-note", b, b).title).toBe("The strike note is the same");
    expect(judged("strike-note", b, emptyMeasurement()).outcome).toBe("not-measurable");
  });
});

describe("sustain", () => {
  test("sustain gives the result its clause only where partials cannot be set side by side", () => {
    expect(judged("sustain", soundBell(), soundBell()).clause).toBeNull();
    expect(judged("sustain", churchBell(), clockBell()).clause).toMatch(
      /^the whole sound of B takes \S+ ± \S+ times/,
    );
    expect(judged("sustain", soundBell(), emptyMeasurement()).outcome).toBe("not-measurable");
  });
});

describe("brightness", () => {
  test("brightness says whose doing else it may be", () => {
    expect(judged("brightness", soundBell(), soundBell()).text).toMatch(
      /1\.0\d* ± 0\.0\d+ times that of A.*strike both alike/,
    );
    expect(judged("brightness", soundBell(), emptyMeasurement()).outcome).toBe("not-measurable");
  });
});

describe("loudness", () => {
  const struck = (...peaks: number[]) =>
    soundBell({ strikes: peaks.map((peakDbfs) => sampleStrike({ peakDbfs })) });

  test("loudness always carries the caveat of distance, gain and blow", () => {
    for (const [a, b] of [
      [struck(-6), struck(-6)],
      [struck(-6, -7), struck(-6, -7)],
      [struck(-6, -6.1, -6.2), struck(-20, -20.1, -20.2)],
    ])
      expect(judged("loudness", a, b).text).toMatch(/[Gg]ain, distance and blow have their full share/);
  });

  test("loudness with one strike of either is not measurable", () => {
    expect(judged("loudness", struck(-6), struck(-6, -7)).outcome).toBe("not-measurable");
  });

  test("loudness differs only beyond what blows differ among themselves", () => {
    expect(judged("loudness", struck(-6, -6.1, -6.2), struck(-20, -20.1, -20.2)).title).toContain("differ");
    expect(judged("loudness", struck(-6, -12), struck(-7, -14)).title).toContain("No sure difference");
  });
});

describe("strikes", () => {
  test("strikes names the casting that was struck once, in the result too", () => {
    const { outcome, text, clause } = judged("strikes", soundBell(), oneStrike(soundBell()));
    expect(outcome).toBe("attention");
    expect(text).toContain("only one strike of B was used");
    expect(clause).toBe("with one strike of B nothing here can be set against the spread between strikes");
    expect(judged("strikes", soundBell(), soundBell())).toMatchObject({ outcome: "note", clause: null });
  });
});

describe("measurement", () => {
  test("measurement warns of two methods and of a ring-down that is no free decay", () => {
    const b = soundBell();
    const other = { ...b, tool: { ...b.tool, method: "another" }, fit: { ...b.fit, freeDecay: false } };
    const { outcome, text, clause } = judged("measurement", b, other);
    expect(outcome).toBe("attention");
    expect(text).toMatch(/different methods \(A: sample, B: another\).*ring-down of B/);
    expect(clause).toBe("the decays of B are rough");
    expect(judged("measurement", b, b)).toMatchObject({ outcome: "note", clause: null });
  });

  test("measurement tells on what spoils the numbers of one, and not what leaves them as they are", () => {
    const b = soundBell();
    const said = (id: string, title: string) =>
      soundBell({ findings: [{ id, title, outcome: "attention", text: "", evidence: [] }] });
    const { outcome, text } = judged("measurement", b, said("gain-control", "The recorder held the level"));
    expect(outcome).toBe("attention");
    expect(text).toMatch(/^The measurement of B asks for attention \(The recorder held the level\)/);
    expect(judged("measurement", said("warble", "The bell warbles"), b).outcome).toBe("note");
  });
});

describe("material", () => {
  test("material says that the shape has a share where the partials scatter", () => {
    const b = inOtherAlloy(1.03, 1);
    const scattered = {
      ...b,
      partials: b.partials.map((p, i) => ({
        ...p,
        frequencyHz: { ...p.frequencyHz, value: p.frequencyHz.value * (1 + 0.002 * ((i % 3) - 1)) },
      })),
    };
    expect(judged("material", soundBell(), scattered).text).toContain("the shape has a share in it");
    expect(judged("material", churchBell(), clockBell()).outcome).toBe("not-measurable");
  });

  test("material gives density and modulus where diameter and mass are known", () => {
    const facts = { diameterM: { value: 0.2, ci95: 0.0002 }, massKg: { value: 4, ci95: 0.01 } };
    const { text } = judged("material", soundBell(), inOtherAlloy(1.02, 1), [
      facts,
      { ...facts, massKg: { value: 3.8, ci95: 0.01 } },
    ]);
    // 3.8 / 4 for one size; E goes with density times the square of the speed.
    expect(text).toMatch(/density ratio of 0\.95\d* ± .*Young's modulus goes by 0\.98\d* ± /);
  });
});
