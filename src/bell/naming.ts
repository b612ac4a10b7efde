import type { Estimate, RimLaw } from "../measurement/index.ts";
import { cents, centsAbove, quotient, scaled } from "./estimate.ts";
import { levelOdds, longestRingOdds, strayModel } from "./evidence.ts";
import { namePosterior } from "./name-posterior.ts";
import { placePins } from "./pins.ts";
import type { Profile } from "./profile.ts";
import { fitRimLaw } from "./rim-law.ts";
import { findRimPartials, type RimMember, rimOutlier } from "./rim-names.ts";

export interface PartialToName {
  frequencyHz: Estimate;
  /** Relative to the strongest partial. */
  levelDb: number;
  /** 60 dB decay time; NaN where it is not known. */
  decayTimeS: number;
}

export interface NamedPartial {
  /** null where no name is sure enough. */
  name: string | null;
  /** The likeliest name, also where it is not sure enough to be given; null where there is none. */
  likeliest: string | null;
  /** Probability of the likeliest name, 0 to 1, also where it is not sure enough to be given; 1 for a pin. */
  confidence: number;
  /** m by the profile or by the bell's own rim law; null where neither says. */
  nodalMeridians: number | null;
  /** On the profile's scale, measured from the reference; to the lowest partial where nothing is named. */
  ratio: Estimate;
  idealRatio: number | null;
  /** 1200 log2(ratio / idealRatio). */
  deviationCents: Estimate | null;
}

export interface Reference {
  /** null when nothing is named and ratios are to the lowest partial. */
  name: string | null;
  /** Index of the partial that ratios are measured from. */
  partial: number;
  /** The ratio it counts as. */
  ratio: number;
}

export interface NamedBell {
  /** In the order given. */
  partials: NamedPartial[];
  /** null without partials. */
  reference: Reference | null;
  /** Fitted to the rim partials, named or found by the law; null with fewer than four. */
  rimLaw: RimLaw | null;
  /** Probability that the partials are those of a bell of the profile's kind. */
  isOfKind: number;
  /** ln of how much likelier they are for a bell of this kind than for strays alone; compares profiles. */
  logEvidence: number;
  /** Pins that could not be placed, one sentence each. */
  warnings: string[];
}

/** A name is given from this probability on. */
export const NAME_CONFIDENCE = 0.85;
/** One or two frequencies fit any profile somewhere. */
const MIN_PARTIALS = 3;
/** Names are sought among this many of the strongest; weaker ones change nothing but the time it takes. */
const MAX_PARTIALS = 60;
/** Nearer than this, two partials are taken for a wide pair: the stronger stands for both. */
const WIDE_PAIR_CENTS = 50;
/** The longest ring is looked for among partials this strong. */
const RINGS_FROM_DB = -25;
/** A partial not this much below another is as loud. */
const ALONE_DB = 6;
/** Level taken for a partial without one. */
const NO_LEVEL_DB = -60;

interface Naming {
  /** Index into the profile of the likeliest name, or -1. */
  likeliest: Int32Array;
  /** Index into the profile, or -1. */
  names: Int32Array;
  confidence: Float64Array;
  nodalMeridians: (number | null)[];
}

function checkedFrequencies(partials: readonly PartialToName[]): Float64Array {
  return Float64Array.from(partials, ({ frequencyHz: { value } }, i) => {
    if (Number.isFinite(value) && value > 0) return value;
    throw new RangeError(`partial ${i + 1} has the frequency ${value} Hz; it must be a number above 0`);
  });
}

/**
 * Levels, dB against the strongest partial, which stands for no more than ALONE_DB over the second: one alone, a rumble or
 * the hum of a small bell, can stand far over all the others, which says nothing of them.
 */
function levelsOf(partials: readonly PartialToName[]): Float64Array {
  const given = partials.map(({ levelDb }) => (Number.isFinite(levelDb) ? levelDb : NO_LEVEL_DB));
  const [first = 0, second = first] = [...given].sort((a, b) => b - a);
  const top = Math.min(first, second + ALONE_DB);
  return Float64Array.from(given, (levelDb) => levelDb - top);
}

/** The partials that take part, ascending: the pinned ones, then the stronger first, one for each wide pair. */
function leadersOf(frequencyHz: Float64Array, levelDb: Float64Array, pinned: Int32Array): number[] {
  const byStrength = [...frequencyHz.keys()].sort(
    (a, b) => Number(pinned[b] >= 0) - Number(pinned[a] >= 0) || levelDb[b] - levelDb[a] || a - b,
  );
  const leaders: number[] = [];
  for (const i of byStrength) {
    if (leaders.length === MAX_PARTIALS) break;
    const alone = leaders.every((j) => Math.abs(cents(frequencyHz[i], frequencyHz[j])) >= WIDE_PAIR_CENTS);
    if (alone || pinned[i] >= 0) leaders.push(i);
  }
  return leaders.sort((a, b) => frequencyHz[a] - frequencyHz[b]);
}

/** Likelihood ratios of level and decay for each leader being each profile partial; N x K, row by row. */
function evidenceOf(
  leaders: readonly number[],
  levelDb: Float64Array,
  partials: readonly PartialToName[],
  profile: Profile,
): Float64Array {
  const k = profile.partials.length;
  // What hums weakly beside the bell rings on for ever.
  const times = partials
    .filter((_, i) => levelDb[i] >= RINGS_FROM_DB)
    .map((partial) => partial.decayTimeS)
    .filter((time) => Number.isFinite(time));
  const longestS = Math.max(0, ...times);
  const evidence = new Float64Array(leaders.length * k);
  leaders.forEach((i, row) => {
    for (let j = 0; j < k; j++) {
      const isLongest = profile.partials[j].name === profile.longestRing;
      const ring = isLongest ? longestRingOdds(partials[i].decayTimeS, longestS) : 1;
      evidence[row * k + j] = levelOdds(levelDb[i]) * ring;
    }
  });
  return evidence;
}

/** Named rim partials, one for each m. */
function rimMembers(naming: Naming, frequencyHz: Float64Array, profile: Profile): RimMember[] {
  const members: RimMember[] = [];
  naming.names.forEach((name, partial) => {
    const m = name < 0 ? null : profile.partials[name].nodalMeridians;
    if (m !== null && profile.partials[name].rim) {
      members.push({ partial, nodalMeridians: m, frequencyHz: frequencyHz[partial] });
    }
  });
  return members;
}

/**
 * Takes back rim names that contradict the law of the others, then looks for the rim partials it predicts; returns all
 * rim partials, with or without a name.
 */
function applyRimLaw(
  naming: Naming,
  frequencyHz: Float64Array,
  candidates: { partials: number[]; density: Float64Array },
  pinned: Int32Array,
  profile: Profile,
): RimMember[] {
  let members = rimMembers(naming, frequencyHz, profile);
  for (let outlier = rimOutlier(members); outlier !== null; outlier = rimOutlier(members)) {
    const { partial } = outlier;
    if (pinned[partial] >= 0) break;
    naming.names[partial] = -1;
    naming.nodalMeridians[partial] = null;
    naming.likeliest[partial] = -1;
    naming.confidence[partial] = 0;
    members = members.filter((member) => member.partial !== partial);
  }
  if (members.length === 0) return members;
  const free = candidates.partials.filter((i) => naming.names[i] < 0);
  const rim = { partials: free, frequencyHz, density: candidates.density };
  const found = findRimPartials(members, rim, NAME_CONFIDENCE);
  for (const { partial, nodalMeridians, probability } of found) {
    naming.nodalMeridians[partial] = nodalMeridians;
    const named = profile.partials.findIndex((known) => known.rim && known.nodalMeridians === nodalMeridians);
    if (named < 0 || !keepsOrder(naming.names, frequencyHz, partial, named)) continue;
    naming.names[partial] = named;
    naming.likeliest[partial] = named;
    naming.confidence[partial] = probability;
  }
  return [...members, ...found];
}

function keepsOrder(names: Int32Array, frequencyHz: Float64Array, partial: number, name: number): boolean {
  return names.every(
    (other, i) => other < 0 || (other !== name && other < name === frequencyHz[i] < frequencyHz[partial]),
  );
}

/**
 * Names the partials of a bell against a profile.
 *
 * 1. Pins are placed; two partials within 50 cents count as one wide pair.
 * 2. The probability of every name for every partial is summed over all references and all order-preserving
 *    assignments ({@link namePosterior}); a name is given from 0.85 on, and never to fewer than three partials.
 * 3. Where five named rim partials hold to f = C (m + b)^p, the law takes back a rim name that contradicts it,
 *    names those it predicts, and counts the nodal meridians beyond the profile.
 *
 * Ratios are measured from the first of the profile's references that is named, else from the surest name.
 *
 * @param pins partial name to hertz; the nearest partial within 50 cents takes the name
 * @param isGiven whether the user says that it is of the profile's kind; then only a fit that is none withholds names
 * @throws RangeError when a frequency is not a number above 0
 */
export function namePartials(
  partials: readonly PartialToName[],
  profile: Profile,
  pins: Record<string, number>,
  isGiven = false,
): NamedBell {
  const frequencyHz = checkedFrequencies(partials);
  const levelDb = levelsOf(partials);
  const { pinned, warnings } = placePins(pins, frequencyHz, profile);
  const leaders = leadersOf(frequencyHz, levelDb, pinned);
  const logFrequency = Float64Array.from(leaders, (i) => Math.log(frequencyHz[i]));
  const strays = strayModel(
    logFrequency,
    Float64Array.from(leaders, (i) => levelDb[i]),
  );
  const { probability, isOfKind, logEvidence } = namePosterior(
    {
      logFrequency,
      density: strays.density,
      strayShare: strays.share,
      evidence: evidenceOf(leaders, levelDb, partials, profile),
      pinned: Int32Array.from(leaders, (i) => pinned[i]),
    },
    profile,
    isGiven,
  );
  const k = profile.partials.length;
  const naming: Naming = {
    likeliest: new Int32Array(partials.length).fill(-1),
    names: new Int32Array(partials.length).fill(-1),
    confidence: new Float64Array(partials.length),
    nodalMeridians: partials.map(() => null),
  };
  leaders.forEach((i, row) => {
    const shares = probability.subarray(row * k, row * k + k);
    const best = shares.indexOf(Math.max(...shares));
    const isPin = pinned[i] >= 0;
    naming.likeliest[i] = isPin ? pinned[i] : best;
    naming.confidence[i] = isPin ? 1 : Math.min(1, shares[best]);
    const sure = leaders.length >= MIN_PARTIALS && shares[best] >= NAME_CONFIDENCE;
    if (isPin || sure) naming.names[i] = isPin ? pinned[i] : best;
    if (naming.names[i] >= 0) naming.nodalMeridians[i] = profile.partials[naming.names[i]].nodalMeridians;
  });
  const density = new Float64Array(partials.length);
  leaders.forEach((i, row) => {
    density[i] = strays.density[row] / levelOdds(levelDb[i]);
  });
  const rim = applyRimLaw(naming, frequencyHz, { partials: leaders, density }, pinned, profile);
  return {
    ...withRatios(partials, naming, profile),
    rimLaw: lawOf(rim),
    isOfKind,
    logEvidence,
    warnings,
  };
}

function lawOf(members: RimMember[]): RimLaw | null {
  const law = fitRimLaw(members);
  return law === null ? null : { ...law, partials: members.map((member) => member.partial) };
}

/** The first of the profile's references that is named, else the surest name, else the lowest partial. */
function referenceOf(partials: readonly PartialToName[], naming: Naming, profile: Profile): Reference | null {
  if (partials.length === 0) return null;
  const at = (partial: number): Reference => {
    const { name, ratio } = profile.partials[naming.names[partial]];
    return { name, partial, ratio };
  };
  for (const name of profile.reference) {
    const found = naming.names.findIndex((index) => index >= 0 && profile.partials[index].name === name);
    if (found >= 0) return at(found);
  }
  let best = -1;
  let lowest = 0;
  partials.forEach((partial, i) => {
    if (naming.names[i] >= 0 && (best < 0 || naming.confidence[i] > naming.confidence[best])) best = i;
    if (partial.frequencyHz.value < partials[lowest].frequencyHz.value) lowest = i;
  });
  return best >= 0 ? at(best) : { name: null, partial: lowest, ratio: 1 };
}

function withRatios(
  partials: readonly PartialToName[],
  naming: Naming,
  profile: Profile,
): Pick<NamedBell, "partials" | "reference"> {
  const reference = referenceOf(partials, naming, profile);
  if (reference === null) return { partials: [], reference };
  const from = partials[reference.partial].frequencyHz;
  const named = partials.map(({ frequencyHz }, i): NamedPartial => {
    const known = naming.names[i] < 0 ? null : profile.partials[naming.names[i]];
    // The reference has its ratio by definition: exact.
    const ratio =
      i === reference.partial
        ? { value: reference.ratio, ci95: 0 }
        : scaled(quotient(frequencyHz, from), reference.ratio);
    return {
      name: known?.name ?? null,
      likeliest: naming.likeliest[i] < 0 ? null : profile.partials[naming.likeliest[i]].name,
      confidence: naming.confidence[i],
      nodalMeridians: naming.nodalMeridians[i],
      ratio,
      idealRatio: known?.ratio ?? null,
      deviationCents: known === null ? null : centsAbove(ratio, known.ratio),
    };
  });
  return { partials: named, reference };
}
