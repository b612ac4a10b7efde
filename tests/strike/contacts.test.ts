import { describe, expect, it } from "vitest";
import { findContacts } from "../../src/strike/contacts.ts";
import { makeRandom } from "../support/synthetic/index.ts";
import { addBackground, addStrike, bellOf, RATE_HZ, samplesOf } from "./support.ts";

function bounce(
  seed: number,
  delaysS: number[],
  strengths: number[],
): { x: Float32Array; contacts: number[] } {
  const x = new Float64Array(samplesOf(1));
  const modes = bellOf(makeRandom(seed));
  const contacts = delaysS.map((delayS) => samplesOf(0.2 + delayS));
  contacts.forEach((at, i) => {
    addStrike(x, modes, at, 0.05 * strengths[i]);
  });
  addBackground(x, 1e-5, seed);
  return { x: Float32Array.from(x), contacts };
}

const search = (x: Float32Array) =>
  findContacts([x], RATE_HZ, samplesOf(0.15), samplesOf(0.4), samplesOf(0.45), x.length);

describe("findContacts", () => {
  it("findContacts() of silence, of a constant and of too short a ring finds none", () => {
    expect(search(new Float32Array(samplesOf(1)))).toEqual([]);
    expect(search(new Float32Array(samplesOf(1)).fill(0.5))).toEqual([]);
    const { x } = bounce(1, [0], [1]);
    expect(findContacts([x], RATE_HZ, 0, 9000, 9000, 9200)).toEqual([]);
    expect(findContacts([x], RATE_HZ, 9000, 9000, 20000, x.length)).toEqual([]);
  });

  it("findContacts() finds none in the ring itself", () => {
    for (let seed = 0; seed < 10; seed++) {
      const { x } = bounce(seed, [0], [1]);
      expect(findContacts([x], RATE_HZ, samplesOf(0.25), samplesOf(0.5), samplesOf(0.5), x.length)).toEqual(
        [],
      );
    }
  });

  it.each([
    [[0], [1]],
    [
      [0, 0.006],
      [1, 0.5],
    ],
    [
      [0, 0.006, 0.025],
      [1, 0.5, 0.3],
    ],
    [
      [0, 0.025, 0.06, 0.12],
      [0.3, 1, 0.3, 0.5],
    ],
  ])("findContacts() places contacts at %j s of strengths %j within 0.5 ms", (delaysS, strengths) => {
    for (let seed = 0; seed < 10; seed++) {
      const { x, contacts } = bounce(seed, delaysS, strengths);
      const found = search(x);
      expect(found, `seed ${seed}`).toHaveLength(contacts.length);
      found.forEach((sample, i) => {
        // Two steps of a quarter of a millisecond make one level.
        expect(Math.abs(sample - contacts[i])).toBeLessThan(samplesOf(0.0005));
      });
    }
  });

  it("findContacts() averages fast recordings down and still places the contact", () => {
    const { x } = bounce(2, [0], [1]);
    const fast = new Float32Array(4 * x.length).map((_, n) => x[n >> 2]);
    const at = (s: number) => Math.round(s * 4 * RATE_HZ);
    const found = findContacts([fast], 4 * RATE_HZ, at(0.15), at(0.4), at(0.45), fast.length);
    expect(found).toHaveLength(1);
    expect(Math.abs(found[0] - at(0.2))).toBeLessThan(at(0.0005));
  });
});
