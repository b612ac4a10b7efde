import type { TapPartial } from "../measurement/index.ts";
import { alignment, explains } from "./alignment.ts";
import type { PairedBy } from "./comparison.ts";
import { CENTS_PER_NEPER, median } from "./estimate.ts";
import { threshold } from "./thresholds.ts";

/** Partials of A and of B, by index, that are taken for the same mode. */
export interface Match {
  a: number;
  b: number;
  pairedBy: PairedBy;
}

type Heard = Pick<TapPartial, "name" | "nodalMeridians" | "frequencyHz" | "levelDb" | "decayTimeS">;

/** Index of the only partial with this quality, or null. */
function onlyOne<T>(partials: readonly T[], has: (partial: T) => boolean): number | null {
  const found = partials.flatMap((partial, i) => (has(partial) ? [i] : []));
  return found.length === 1 ? found[0] : null;
}

function byName(a: readonly Heard[], b: readonly Heard[]): Match[] {
  return a.flatMap(({ name }, i): Match[] => {
    if (name === null || onlyOne(a, (p) => p.name === name) === null) return [];
    const j = onlyOne(b, (p) => p.name === name);
    return j === null ? [] : [{ a: i, b: j, pairedBy: "name" }];
  });
}

/** Unnamed rim partials of one m; hum and prime share theirs, so an m must be there once in each. */
function byRimOrder(a: readonly Heard[], b: readonly Heard[]): Match[] {
  return a.flatMap(({ name, nodalMeridians: m }, i): Match[] => {
    if (name !== null || m === null || onlyOne(a, (p) => p.nodalMeridians === m) === null) return [];
    const j = onlyOne(b, (p) => p.nodalMeridians === m);
    return j === null || b[j].name !== null ? [] : [{ a: i, b: j, pairedBy: "rim order" }];
  });
}

const shiftCents = (a: readonly Heard[], b: readonly Heard[], match: Match): number =>
  CENTS_PER_NEPER * Math.log(b[match.b].frequencyHz.value / a[match.a].frequencyHz.value);

/** Whether a further pair keeps the order of the partials that the pairs so far give. */
function keepsOrder(matches: readonly Match[], a: number, b: number): boolean {
  return matches.every((match) => Math.sign(match.a - a) === Math.sign(match.b - b));
}

/**
 * Of those left over, the two that lie nearest to each other once the common shift is taken off, where no other
 * candidate is nearly as near, and where the order of the partials is kept.
 */
function byPlace(
  a: readonly Heard[],
  b: readonly Heard[],
  commonCents: number,
  matches: readonly Match[],
): Match[] {
  const left = a.map((_, i) => i).filter((i) => matches.every((match) => match.a !== i));
  const right = b.map((_, j) => j).filter((j) => matches.every((match) => match.b !== j));
  const distance = (i: number, j: number) =>
    Math.abs(shiftCents(a, b, { a: i, b: j, pairedBy: "place" }) - commonCents);
  const nearestTwo = (distances: number[]) => [...distances, Number.POSITIVE_INFINITY].sort((x, y) => x - y);
  const found: (Match & { off: number })[] = [];
  for (const i of left) {
    const [own, next = Number.POSITIVE_INFINITY] = nearestTwo(right.map((j) => distance(i, j)));
    if (own > threshold("placeWindow") || next < threshold("placeLead") * own) continue;
    const j = right.find((each) => distance(i, each) === own)!;
    const [back, other = Number.POSITIVE_INFINITY] = nearestTwo(left.map((each) => distance(each, j)));
    if (back !== own || other < threshold("placeLead") * own) continue;
    // Two different names are two different modes, however near they lie.
    if (a[i].name !== null && b[j].name !== null) continue;
    found.push({ a: i, b: j, pairedBy: "place", off: own });
  }
  const kept: Match[] = [];
  for (const { off: _, ...match } of found.sort((x, y) => x.off - y.off)) {
    if (keepsOrder([...matches, ...kept], match.a, match.b)) kept.push(match);
  }
  return kept.filter(decayFits(a, b, [...matches, ...kept]));
}

/** Metal and mounting change all decays more or less alike: a place taken by a line of quite another decay is another line. */
function decayFits(
  a: readonly Heard[],
  b: readonly Heard[],
  matches: readonly Match[],
): (match: Match) => boolean {
  const change = (match: Match) => Math.log(b[match.b].decayTimeS.value / a[match.a].decayTimeS.value);
  const usual = median(matches.map(change));
  return (match) => Math.abs(change(match) - usual) <= Math.log(threshold("placeDecay"));
}

/**
 * Pairs the partials of two castings: first those of one name, then unnamed rim partials of one order m, then, the common
 * shift of these taken off, those that keep their place among the others. Where nothing carries a name, the shift that
 * lines up most partials is taken. Never by nearest frequency alone, since a common shift moves partials past each
 * other. A name is set aside where the partials line up without it and it would pair what lies far off.
 *
 * @param a, b ascending in frequency
 * @returns pairs ascending in A's frequency
 */
export function pairPartials(a: readonly Heard[], b: readonly Heard[]): Match[] {
  const lined = alignment(a, b);
  const told = [...byName(a, b), ...byRimOrder(a, b)];
  const trusted = lined !== null && explains(lined);
  const anchors = trusted
    ? told.filter((match) => Math.abs(shiftCents(a, b, match) - lined.cents) <= threshold("misnamedCents"))
    : told;
  const shift =
    trusted || anchors.length < 2
      ? (lined?.cents ?? null)
      : median(anchors.map((match) => shiftCents(a, b, match)));
  if (shift === null) return anchors;
  return [...anchors, ...byPlace(a, b, shift, anchors)].sort((x, y) => x.a - y.a);
}
