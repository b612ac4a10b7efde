/** A seeded source of random numbers: the same seed gives the same numbers on every machine. */
export interface Random {
  /** Uniform in [0, 1), 32 bits. */
  uniform(): number;
  between(low: number, high: number): number;
  /** Uniform in the logarithm; both ends > 0. */
  logBetween(low: number, high: number): number;
  /** Both ends included. */
  integer(low: number, high: number): number;
  sign(): 1 | -1;
  pick<T>(items: readonly T[]): T;
  /** Standard normal deviate. */
  normal(): number;
  /** Adds independent normal deviates of standard deviation sd to every element of target. */
  addNormal(target: Float64Array, sd: number): void;
}

/** sfc32 (C. Doty-Humphrey, PractRand) seeded through splitmix32; normal deviates by Marsaglia's polar method. */
export function makeRandom(seed: number): Random {
  let mix = seed | 0;
  const splitmix = (): number => {
    mix = (mix + 0x9e3779b9) | 0;
    let z = Math.imul(mix ^ (mix >>> 16), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
    return (z ^ (z >>> 16)) | 0;
  };
  let a = splitmix();
  let b = splitmix();
  let c = splitmix();
  let counter = 1;

  const uniform = (): number => {
    const sum = (((a + b) | 0) + counter) | 0;
    counter = (counter + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = ((c << 21) | (c >>> 11)) + sum;
    c |= 0;
    return (sum >>> 0) * 2 ** -32;
  };
  for (let i = 0; i < 16; i++) uniform();

  let spare = Number.NaN;
  const normal = (): number => {
    if (!Number.isNaN(spare)) {
      const kept = spare;
      spare = Number.NaN;
      return kept;
    }
    for (;;) {
      const u = 2 * uniform() - 1;
      const v = 2 * uniform() - 1;
      const r = u * u + v * v;
      if (r >= 1 || r === 0) continue;
      const scale = Math.sqrt((-2 * Math.log(r)) / r);
      spare = v * scale;
      return u * scale;
    }
  };

  return {
    uniform,
    between: (low, high) => low + (high - low) * uniform(),
    logBetween: (low, high) => low * (high / low) ** uniform(),
    integer: (low, high) => low + Math.floor((high - low + 1) * uniform()),
    sign: () => (uniform() < 0.5 ? -1 : 1),
    pick: (items) => items[Math.floor(items.length * uniform())],
    normal,
    addNormal: (target, sd) => {
      for (let i = 0; i < target.length; i++) target[i] += sd * normal();
    },
  };
}
