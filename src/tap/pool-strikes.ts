import { type Mode, totalAmplitude } from "../partials/index.ts";

export interface PooledMode {
  mode: Mode;
  /** Standard deviations between strikes; null with one strike. */
  spreadHz: number | null;
  spreadPerS: number | null;
}

/** The same mode in another strike: within three standard errors, a third of a linewidth and 0.1 % (a bell that warms or swings). */
const SAME_RELATIVE = 1e-3;
const SAME_LINEWIDTHS = 0.33;
/** A strike whose modes lie this many robust standard deviations from the others' median is left out. */
const OUTLYING = 3.5;
/** Two strikes of one bell have at least this part of the shorter list in common. */
const IN_COMMON = 0.5;

/**
 * The modes of several strikes of one bell as one list, in the order of the first strike, which is the best one. A mode
 * is kept when at least half of the strikes have it. Pooled by inverse variance, the variance between strikes included
 * (random effects: DerSimonian & Laird 1986), so that many strikes never claim more than they agree upon.
 */
export function poolStrikes(strikes: Mode[][]): PooledMode[] {
  if (strikes.length === 1) return strikes[0].map((mode) => ({ mode, spreadHz: null, spreadPerS: null }));
  const twinsIn = strikes.map((modes) => twinsOf(strikes[0], modes));
  const pooled: PooledMode[] = [];
  for (const [i, mode] of strikes[0].entries()) {
    const twins = twinsIn.map((each) => each[i]).filter((m) => m !== null);
    if (2 * twins.length < strikes.length) continue;
    if (twins.length < 2) {
      pooled.push({ mode, spreadHz: null, spreadPerS: null });
      continue;
    }
    const frequency = randomEffects(
      twins.map((m) => m.frequencyHz),
      twins.map((m) => m.frequencySdHz),
    );
    const decay = randomEffects(
      twins.map((m) => m.decayRatePerS),
      twins.map((m) => m.decayRateSdPerS),
    );
    pooled.push({
      mode: {
        ...mode,
        frequencyHz: frequency.mean,
        frequencySdHz: frequency.sd,
        decayRatePerS: decay.mean,
        decayRateSdPerS: decay.sd,
        rho: twins.reduce((s, m) => s + m.rho, 0),
        seenIn: [...mode.seenIn, `${twins.length} strikes`],
      },
      spreadHz: frequency.spread,
      spreadPerS: decay.spread,
    });
  }
  return pooled;
}

/** For each of the modes the same one among `others`, or null; no two of them take the same: the nearest come first. */
export function twinsOf(modes: Mode[], others: Mode[]): (Mode | null)[] {
  const pairs: { i: number; j: number; distance: number }[] = [];
  for (let i = 0; i < modes.length; i++) {
    for (let j = 0; j < others.length; j++) {
      const distance = Math.abs(others[j].frequencyHz - modes[i].frequencyHz);
      if (distance < sameWithin(modes[i], others[j])) pairs.push({ i, j, distance });
    }
  }
  pairs.sort((a, b) => a.distance - b.distance || a.i - b.i || a.j - b.j);
  const twins: (Mode | null)[] = modes.map(() => null);
  const taken = new Set<number>();
  for (const { i, j } of pairs) {
    if (twins[i] !== null || taken.has(j)) continue;
    twins[i] = others[j];
    taken.add(j);
  }
  return twins;
}

function sameWithin(a: Mode, b: Mode): number {
  const linewidth = Math.max(a.decayRatePerS, b.decayRatePerS) / Math.PI;
  return (
    3 * Math.hypot(a.frequencySdHz, b.frequencySdHz) +
    SAME_LINEWIDTHS * linewidth +
    SAME_RELATIVE * a.frequencyHz
  );
}

function randomEffects(values: number[], sds: number[]): { mean: number; sd: number; spread: number } {
  const n = values.length;
  const plain = values.reduce((a, b) => a + b, 0) / n;
  const spread = Math.sqrt(values.reduce((s, v) => s + (v - plain) ** 2, 0) / (n - 1));
  const w = sds.map((s) => 1 / s ** 2);
  const sum = w.reduce((a, b) => a + b, 0);
  const fixed = values.reduce((s, v, i) => s + w[i] * v, 0) / sum;
  const q = values.reduce((s, v, i) => s + w[i] * (v - fixed) ** 2, 0);
  const c = sum - w.reduce((s, x) => s + x * x, 0) / sum;
  const between = Math.max(0, (q - (n - 1)) / c);
  const v = sds.map((s) => 1 / (s ** 2 + between));
  const total = v.reduce((a, b) => a + b, 0);
  return { mean: values.reduce((s, x, i) => s + v[i] * x, 0) / total, sd: Math.sqrt(1 / total), spread };
}

/**
 * Index of a strike that does not belong with the others, or -1: one of another bell, or one whose frequencies stand apart
 * from at least two others that agree. The first strike is the best one, and where it is one against one, it stays.
 */
export function outlyingStrike(strikes: Mode[][]): number {
  const stranger = strangerAmong(strikes);
  return stranger >= 0 || strikes.length < 3 ? stranger : strayingStrike(strikes);
}

/**
 * Strikes of several bells fall into groups that share partials; index of a strike outside the largest group, of equal ones
 * the first. -1 where all are of one, and where of three or more no two agree: then none is more likely than another.
 */
function strangerAmong(strikes: Mode[][]): number {
  const groupOf = strikes.map((_, i) => i);
  for (let i = 0; i < strikes.length; i++) {
    for (let j = i + 1; j < strikes.length; j++) {
      if (groupOf[i] === groupOf[j] || !agree(strikes[i], strikes[j])) continue;
      const [kept, joined] = [Math.min(groupOf[i], groupOf[j]), Math.max(groupOf[i], groupOf[j])];
      for (let k = 0; k < groupOf.length; k++) if (groupOf[k] === joined) groupOf[k] = kept;
    }
  }
  const sizes = groupOf.map((group) => groupOf.filter((each) => each === group).length);
  const largest = Math.max(0, ...sizes);
  if (largest === 1 && strikes.length > 2) return -1;
  const chosen = groupOf[sizes.indexOf(largest)];
  return groupOf.findIndex((group) => group !== chosen);
}

function agree(a: Mode[], b: Mode[]): boolean {
  const [few, many] = a.length <= b.length ? [a, b] : [b, a];
  return twinsOf(few, many).filter((twin) => twin !== null).length >= IN_COMMON * few.length;
}

/** Index of the strike whose modes lie furthest from the medians of the others, where that is too far, or -1. */
function strayingStrike(strikes: Mode[][]): number {
  const deviations = strikes.map(() => [] as number[]);
  const twinsIn = strikes.map((modes) => twinsOf(strikes[0], modes));
  for (let i = 0; i < strikes[0].length; i++) {
    const twins = twinsIn.map((each) => each[i]);
    const present = twins.filter((t) => t !== null).map((t) => t.frequencyHz);
    if (present.length < 3) continue;
    const centre = median(present);
    const spread = 1.4826 * median(present.map((f) => Math.abs(f - centre)));
    twins.forEach((t, s) => {
      if (t) deviations[s].push(Math.abs(t.frequencyHz - centre) / Math.hypot(spread, t.frequencySdHz));
    });
  }
  const scores = deviations.map((d) => (d.length ? median(d) : 0));
  const worst = scores.indexOf(Math.max(...scores));
  return scores[worst] > OUTLYING ? worst : -1;
}

/** The strongest modes of each, so many, tell whether two sounds are of one kind of bell. */
const COMPARED_MODES = 12;
/** Two bells of one kind have this part of them, and so many, at one common shift, each within 1 %. */
const SHIFTED_ALIKE = 0.6;
const FEWEST_ALIKE = 4;
const ALIKE_CENTS = 17;
/** A bell shifts less by itself: 50 degrees of warmth are some 10 cents. */
const LEAST_SHIFT_CENTS = 10;
const MOST_SHIFT_CENTS = 1300;

/**
 * By how many cents the modes of one strike lie above those of another, where both are bells of one kind at another
 * pitch; null where no common shift puts most of the strongest modes of either on those of the other.
 */
export function otherBellCents(modes: Mode[], reference: Mode[]): number | null {
  const [ours, theirs] = [strongest(modes), strongest(reference)];
  let best: number[] = [];
  for (const a of ours) {
    for (const b of theirs) {
      const shift = centsOf(a, b);
      if (Math.abs(shift) < LEAST_SHIFT_CENTS || Math.abs(shift) > MOST_SHIFT_CENTS) continue;
      const alike = ours.flatMap((mode) => {
        const offs = theirs.map((other) => centsOf(mode, other));
        const nearest = offs.reduce((x, y) => (Math.abs(y - shift) < Math.abs(x - shift) ? y : x));
        return Math.abs(nearest - shift) <= ALIKE_CENTS ? [nearest] : [];
      });
      if (alike.length > best.length) best = alike;
    }
  }
  const needed = Math.max(FEWEST_ALIKE, SHIFTED_ALIKE * Math.min(ours.length, theirs.length));
  return best.length >= needed ? median(best) : null;
}

const centsOf = (a: Mode, b: Mode) => 1200 * Math.log2(a.frequencyHz / b.frequencyHz);

/** One mode for each doublet. */
function strongest(modes: Mode[]): Mode[] {
  const kept: Mode[] = [];
  for (const mode of [...modes].sort((a, b) => totalAmplitude(b) - totalAmplitude(a))) {
    if (kept.length === COMPARED_MODES) break;
    if (kept.every((other) => Math.abs(centsOf(mode, other)) > ALIKE_CENTS)) kept.push(mode);
  }
  return kept;
}

function median(values: number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const h = sorted.length >> 1;
  return sorted.length % 2 ? sorted[h] : (sorted[h - 1] + sorted[h]) / 2;
}
