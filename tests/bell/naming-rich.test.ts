import { describe, expect, test } from "vitest";
import { nameKind } from "../../src/bell/kind.ts";
import { strikeNoteOf } from "../../src/bell/strike-note.ts";
import { makeRandom } from "../support/synthetic/random.ts";
import type { KnownPartial } from "./random-bells.ts";

/**
 * Ratio to half the nominal, level in dB and T60 in s of the partials of a tuned bell of a carillon, in the middle of its
 * compass, rounded: Sather Tower carillon, Wessel, Campion and Davis, UC Berkeley, CC BY-SA 4.0.
 */
const TUNED: [string, number, number, number][] = [
  ["hum", 0.5, -11, 20],
  ["prime", 1, -11, 12],
  ["tierce", 1.192, -4, 9],
  ["nominal", 2, 0, 2.4],
  ["deciem", 2.6, -18, 3],
  ["superquint", 2.99, -8, 3.6],
  ["octave nominal", 4.13, -14, 3],
  ["upper fourth", 5.35, -10, 2.5],
  ["upper sixth", 6.66, -15, 2.1],
];

/** Such a bell with weak modes and doublets, and another that rings along 35 dB down; `lines` in all. */
function richBell(seed: number, lines: number): { noteHz: number; partials: KnownPartial[] } {
  const random = makeRandom(seed);
  const noteHz = random.logBetween(200, 2500);
  const at = (hertz: number, levelDb: number, decayTimeS: number, truth: string | null): KnownPartial => ({
    frequencyHz: { value: hertz, ci95: 1e-5 * hertz },
    levelDb,
    decayTimeS: decayTimeS * Math.exp(0.3 * random.normal()),
    truth,
  });
  const partials = TUNED.map(([name, ratio, db, s]) =>
    at(noteHz * ratio * Math.exp(0.004 * random.normal()), db + 4 * random.normal(), s, name),
  );
  const neighbour = noteHz * 2 ** (random.integer(2, 7) / 12);
  for (const [, ratio, db, s] of TUNED) partials.push(at(neighbour * ratio, db - 35, s, null));
  while (partials.length < lines) {
    // Weak modes lie close above the nominal, and the room's own tones below the bell ring on for ever.
    const isRoom = random.uniform() < 0.05;
    const hertz = noteHz * (isRoom ? random.between(0.1, 0.4) : random.logBetween(2.1, 14));
    partials.push(at(hertz, -30 - 25 * random.uniform(), isRoom ? 300 : 1.5, null));
  }
  const strongest = Math.max(...partials.map(({ levelDb }) => levelDb));
  for (const partial of partials) partial.levelDb -= strongest;
  return { noteHz, partials: partials.sort((a, b) => a.frequencyHz.value - b.frequencyHz.value) };
}

describe("nameKind() of tuned bells with many lines", () => {
  test.each([40, 80, 150])(
    "nameKind(%d lines) names hum, prime, tierce and nominal, and no stray for them",
    (lines) => {
      let right = 0;
      let wrong = 0;
      const main = ["hum", "prime", "tierce", "nominal"];
      for (let seed = 1; seed <= 30; seed++) {
        const { noteHz, partials } = richBell(seed, lines);
        const { named, profile } = nameKind(partials, null, {});
        named.partials.forEach(({ name }, i) => {
          if (name === null || !main.includes(name)) return;
          if (partials[i].truth === name) right++;
          else wrong++;
        });
        const note = strikeNoteOf(
          partials.map((p, i) => ({
            ...p,
            levelDb: { value: p.levelDb, ci95: 0.3 },
            name: named.partials[i].name,
            nameConfidence: named.partials[i].name === null ? null : named.partials[i].confidence,
          })),
          440,
          profile,
        );
        expect(Math.abs(1200 * Math.log2(note!.frequencyHz.value / noteHz))).toBeLessThan(50);
      }
      // 120 of each: 95 % at least, less one standard error of 2 %.
      expect(right / 120).toBeGreaterThan(0.93);
      expect(wrong).toBe(0);
    },
  );
});
