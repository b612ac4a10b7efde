import type { PartialToName, Profile } from "../../src/bell/index.ts";
import { namePartials } from "../../src/bell/index.ts";
import type { Random } from "../support/synthetic/random.ts";

/** A partial whose name is known; null for a stray. */
export interface KnownPartial extends PartialToName {
  truth: string | null;
}

/** A partial of the profile is missing this often. */
const MISSING = 0.15;
const MOST_STRAYS = 4;
/** Levels in dB and their spread: strays are weaker, as mixed modes, rod and room are. */
const LEVEL_DB = -12;
const STRAY_LEVEL_DB = -25;
const LEVEL_SPREAD_DB = 8;

function partialAt(
  random: Random,
  hertz: number,
  ratio: number,
  levelDb: number,
  truth: string | null,
): KnownPartial {
  return {
    frequencyHz: { value: hertz, ci95: 1e-4 * hertz },
    levelDb: Math.min(0, levelDb + LEVEL_SPREAD_DB * random.normal()),
    // Higher partials ring shorter, with much scatter.
    decayTimeS: 20 * ratio ** -0.8 * Math.exp(0.4 * random.normal()),
    truth,
  };
}

/**
 * A bell whose ratios are off independently, log-normal with standard deviation `off`, in the profile's order (the
 * deviating ratios are sorted); each partial missing with probability 0.15, 0 to 4 strays log-uniform in its range.
 */
export function randomBell(random: Random, profile: Profile, off: number): KnownPartial[] {
  const base = random.logBetween(100, 1500);
  const ratios = profile.partials
    .map(({ ratio }) => ratio * Math.exp(off * random.normal()))
    .sort((a, b) => a - b);
  const bell: KnownPartial[] = [];
  ratios.forEach((ratio, k) => {
    if (random.uniform() < MISSING) return;
    bell.push(partialAt(random, base * ratio, ratio, LEVEL_DB, profile.partials[k].name));
  });
  for (let strays = random.integer(0, MOST_STRAYS); strays > 0; strays--) {
    const ratio = random.logBetween(0.74 * ratios[0], 1.35 * ratios[ratios.length - 1]);
    bell.push(partialAt(random, base * ratio, ratio, STRAY_LEVEL_DB, null));
  }
  return bell;
}

/**
 * A rough casting as bells are: rim partials on a law of its own (p 1.468 +- 0.07, b -0.88 +- 0.1, scatter 0.5 %), the
 * others off by `off` against the nominal, up to 8 strays, more of them high up.
 */
export function randomCasting(random: Random, profile: Profile, off: number): KnownPartial[] {
  const p = 1.468 + 0.07 * random.normal();
  const b = -0.88 + 0.1 * random.normal();
  const nominalHz = random.logBetween(200, 2000);
  const ratios = profile.partials.map(({ rim, nodalMeridians, ratio }) =>
    rim
      ? (((nodalMeridians as number) + b) / (4 + b)) ** p * Math.exp(0.005 * random.normal())
      : (ratio / 2) * Math.exp(off * random.normal()),
  );
  // The order of the trade's names is the order in frequency: draw the others again until it holds.
  for (let k = 0; k < ratios.length; k++) {
    const { rim, ratio } = profile.partials[k];
    const floor = k === 0 ? 0 : ratios[k - 1];
    const next = profile.partials.findIndex((other, at) => at > k && other.rim);
    const ceiling = next < 0 ? Number.POSITIVE_INFINITY : ratios[next];
    for (let tries = 0; !rim && !(ratios[k] > floor && ratios[k] < ceiling) && tries < 1000; tries++) {
      ratios[k] = (ratio / 2) * Math.exp(off * random.normal());
    }
  }
  const bell: KnownPartial[] = [];
  ratios.forEach((ratio, k) => {
    if (random.uniform() < MISSING) return;
    bell.push(
      partialAt(
        random,
        nominalHz * ratio,
        ratio,
        LEVEL_DB - 3 * Math.max(0, Math.log(ratio)),
        profile.partials[k].name,
      ),
    );
  });
  for (let strays = random.integer(0, 2 * MOST_STRAYS); strays > 0; strays--) {
    const ratio = random.between(0.6, 5);
    bell.push(partialAt(random, nominalHz * ratio, ratio, STRAY_LEVEL_DB, null));
  }
  return bell;
}

/** One to twenty partials at log-uniform random frequencies, levels and decays: no bell at all. */
export function randomJunk(random: Random): KnownPartial[] {
  return Array.from({ length: random.integer(1, 20) }, () => ({
    frequencyHz: { value: random.logBetween(200, 8000), ci95: 0.01 },
    levelDb: Math.min(0, -15 + 9 * random.normal()),
    decayTimeS: random.logBetween(0.5, 10),
    truth: null,
  }));
}

export interface Rates {
  /** Share of the profile's partials present that got their name. */
  right: number;
  /** Share of all partials, strays too, that got a name that is not theirs. */
  wrong: number;
  /** Share of the names given that are not theirs. */
  wrongOfNamed: number;
  /** Names given, in number. */
  named: number;
  /** Mean confidence of the names given. */
  meanConfidence: number;
  /** Share of the bells with at least one name, right or wrong. */
  bellsNamed: number;
}

/** Names all bells without pins and counts. @param isGiven whether the kind is told to be the profile's */
export function ratesOf(bells: readonly KnownPartial[][], profile: Profile, isGiven: boolean): Rates {
  let right = 0;
  let wrong = 0;
  let all = 0;
  let known = 0;
  let confidenceSum = 0;
  let bellsNamed = 0;
  for (const bell of bells) {
    const named = namePartials(bell, profile, {}, isGiven).partials;
    let names = 0;
    named.forEach(({ name, confidence }, i) => {
      const { truth } = bell[i];
      all++;
      if (truth !== null) known++;
      if (name === null) return;
      names++;
      confidenceSum += confidence;
      if (name === truth) right++;
      else wrong++;
    });
    if (names > 0) bellsNamed++;
  }
  return {
    right: known === 0 ? 0 : right / known,
    wrong: wrong / all,
    wrongOfNamed: right + wrong === 0 ? 0 : wrong / (right + wrong),
    named: right + wrong,
    meanConfidence: right + wrong === 0 ? 0 : confidenceSum / (right + wrong),
    bellsNamed: bellsNamed / bells.length,
  };
}
