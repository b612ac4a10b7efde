import { readFileSync } from "node:fs";

/** A committed file of fixtures/audio. */
export function fixture(name: string): Uint8Array {
  return new Uint8Array(readFileSync(new URL(`../../fixtures/audio/${name}`, import.meta.url)));
}

/** A recording of the CC0 package supersonic-scsynth-samples. */
export function packageSample(name: string): Uint8Array {
  const path = `../../node_modules/supersonic-scsynth-samples/samples/${name}`;
  return new Uint8Array(readFileSync(new URL(path, import.meta.url)));
}

/** Marsaglia's xorshift32, numbers in [0, 1). */
export function createRandom(seed: number): () => number {
  let state = (seed * 2654435761) >>> 0 || 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
}
