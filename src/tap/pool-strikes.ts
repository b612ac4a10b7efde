import type { Mode } from "../partials/index.ts";

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
  const pooled: PooledMode[] = [];
  for (const mode of strikes[0]) {
    const twins = strikes.map((modes) => twinOf(mode, modes)).filter((m) => m !== null) as Mode[];
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

function twinOf(mode: Mode, modes: Mode[]): Mode | null {
  let best: Mode | null = null;
  let distance = Number.POSITIVE_INFINITY;
  for (const m of modes) {
    const d = Math.abs(m.frequencyHz - mode.frequencyHz);
    const linewidth = Math.max(m.decayRatePerS, mode.decayRatePerS) / Math.PI;
    const window =
      3 * Math.hypot(m.frequencySdHz, mode.frequencySdHz) +
      SAME_LINEWIDTHS * linewidth +
      SAME_RELATIVE * mode.frequencyHz;
    if (d < window && d < distance) {
      best = m;
      distance = d;
    }
  }
  return best;
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

/** Index of a strike whose frequencies stand apart from at least two others that agree, or -1. */
export function outlyingStrike(strikes: Mode[][]): number {
  if (strikes.length < 3) return -1;
  const stranger = strangerAmong(strikes);
  return stranger >= 0 ? stranger : strayingStrike(strikes);
}

/** Index of a strike that agrees with no other one while others agree, as one of another bell does, or -1. */
function strangerAmong(strikes: Mode[][]): number {
  const agrees = strikes.map((a, i) => strikes.some((b, j) => j !== i && agree(a, b)));
  return agrees.includes(true) ? agrees.indexOf(false) : -1;
}

function agree(a: Mode[], b: Mode[]): boolean {
  const [few, many] = a.length <= b.length ? [a, b] : [b, a];
  return few.filter((mode) => twinOf(mode, many) !== null).length >= IN_COMMON * few.length;
}

/** Index of the strike whose modes lie furthest from the medians of the others, where that is too far, or -1. */
function strayingStrike(strikes: Mode[][]): number {
  const deviations = strikes.map(() => [] as number[]);
  for (const mode of strikes[0]) {
    const twins = strikes.map((modes) => twinOf(mode, modes));
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

function median(values: number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const h = sorted.length >> 1;
  return sorted.length % 2 ? sorted[h] : (sorted[h - 1] + sorted[h]) / 2;
}
