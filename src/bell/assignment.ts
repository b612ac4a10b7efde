/** Sums over all order-preserving assignments of measured partials to the partials of a profile. */

/** What is known of the measured partials; lengths N unless said. */
export interface Measured {
  /** ln of the frequencies, ascending. */
  logFrequency: Float64Array;
  /** How many partials about as loud lie near each one, per unit of ln(frequency). */
  density: Float64Array;
  /** Share of them that are outside the profile on a bell of the kind, 0 to 1. */
  strayShare: Float64Array;
  /** Evidence of level and decay for partial i being k, as a likelihood ratio; N x K, row by row. */
  evidence: Float64Array;
  /** Index of the profile partial that each one is pinned to, or -1. */
  pinned: Int32Array;
}

/** One picture of the casting: where its K partials would lie, and how far off that they may be. */
export interface Picture {
  /** ln of the ratios, ascending. */
  logRatio: Float64Array;
  /** Standard deviation of each, in ln. */
  spread: Float64Array;
  /** Standard deviation, no smaller, of the few that are further off than the rest of the casting. */
  tail: Float64Array;
  /** Probability that a recording shows the partial, in (0, 1). */
  presence: Float64Array;
  /** The partial that the reference is taken from exactly, or -1 when the reference is free. */
  anchor: number;
  /** Probability before looking. */
  prior: number;
}

/** Beyond this many standard deviations two frequencies are not paired. */
const REACH = 4;
/** A shape has no strong modes below its lowest profile partial: a stray there has its share to this power. */
const BELOW_POWER = 2;
/** One partial in ten is off on its own, as a hum is that was never tuned. */
const TAIL_SHARE = 0.1;
/** Probability that the recording ends with the highest measured partial, whatever the bell has above. */
const NO_REACH = 0.25;
/** Lets a pinned partial be far from where the profile has it. */
const PIN_FLOOR = 1e-6;
const INV_SQRT_2PI = 0.3989422804014327;

/** Buffers and recursions for N measured and K profile partials; one per bell, so that nodes allocate nothing. */
export class Assignments {
  private readonly k: number;
  private readonly allowed: Uint8Array;
  /** Measured partial pinned to each profile partial, or -1. */
  private readonly pinnedAt: Int32Array;
  private readonly weight: Float64Array;
  /** Measured partials with at least one pair, ascending; the first `activeCount` are in use. */
  private readonly active: Int32Array;
  private readonly hasPair: Uint8Array;
  private activeCount = 0;
  /** The picture that `absent` is of. */
  private absentIn: Picture | null = null;
  private absent: Float64Array = new Float64Array(0);
  private readonly alone: Float64Array;
  private readonly forward: Float64Array;
  private readonly backward: Float64Array;

  constructor(
    private readonly measured: Measured,
    k: number,
  ) {
    const n = measured.logFrequency.length;
    this.k = k;
    this.allowed = allowedPairs(measured.pinned, k);
    this.pinnedAt = Int32Array.from({ length: k }, (_, j) => measured.pinned.indexOf(j));
    this.weight = new Float64Array(n * k);
    this.active = new Int32Array(n);
    this.hasPair = new Uint8Array(n);
    this.alone = new Float64Array(n);
    this.forward = new Float64Array((n + 1) * (k + 1));
    this.backward = new Float64Array((n + 1) * (k + 1));
  }

  /**
   * Weight of all assignments at ln(reference) `u`, relative to all partials being strays.
   *
   * A pair weighs presence x the normal density of its deviation over the density of strays x its evidence; a
   * missing profile partial 1 - presence. Above the highest measured partial the recording may just not
   * reach, and all of them are then missing at once: together they cost no less than the probability of that.
   *
   * @param anchorAt the measured partial that is `picture.anchor`, or -1
   */
  sum(picture: Picture, u: number, anchorAt: number): number {
    const { logFrequency, pinned, strayShare } = this.measured;
    const n = logFrequency.length;
    const missing = this.fillWeights(picture, u, anchorAt);
    const bottom = u + picture.logRatio[0] - REACH * picture.tail[0];
    let left = 1;
    this.activeCount = 0;
    for (let i = 0; i < n; i++) {
      const share = strayShare[i];
      const alone =
        pinned[i] >= 0 || i === anchorAt ? 0 : logFrequency[i] < bottom ? share ** BELOW_POWER : share;
      this.alone[i] = alone;
      if (this.hasPair[i] !== 0) this.active[this.activeCount++] = i;
      else left *= alone;
    }
    return missing * left * this.sumForward();
  }

  /** Adds to `into` (N x K) the share of each pair in the last {@link sum}, times `part`. */
  addShares(part: number, into: Float64Array): void {
    const { k, weight, forward, backward, active, activeCount } = this;
    this.sumBackward();
    const row = k + 1;
    const unit = part / forward[activeCount * row + k];
    for (let a = 0; a < activeCount; a++) {
      const i = active[a];
      for (let j = 0; j < k; j++) {
        const pair = weight[i * k + j];
        if (pair !== 0)
          into[i * k + j] += unit * pair * forward[a * row + j] * backward[(a + 1) * row + j + 1];
      }
    }
  }

  /** Fills `weight` and `hasPair`; returns the probability that all profile partials are missing. */
  private fillWeights(picture: Picture, u: number, anchorAt: number): number {
    const { k, allowed, pinnedAt, weight, hasPair } = this;
    const { logFrequency, density, evidence } = this.measured;
    const { logRatio, spread, tail, presence, anchor } = picture;
    const n = logFrequency.length;
    const top = logFrequency[n - 1];
    weight.fill(0);
    hasPair.fill(0);
    let missing = 1;
    if (this.absentIn !== picture) {
      this.absentIn = picture;
      this.absent = absences(presence);
    }
    let first = k;
    while (first > 0 && u + logRatio[first - 1] > top) first--;
    for (let j = 0; j < k; j++) {
      const centre = u + logRatio[j];
      const reach = REACH * tail[j];
      const absent = this.absent[first * k + j];
      const odds = presence[j] / absent;
      missing *= absent;
      // A pin or the anchor leaves its column one partial; other columns those within reach.
      const only = j === anchor ? anchorAt : pinnedAt[j];
      const from = only >= 0 ? only : firstAtOrAbove(logFrequency, centre - reach);
      const end = only >= 0 ? only + 1 : n;
      for (let i = from; i < end; i++) {
        const away = logFrequency[i] - centre;
        if (only < 0 && away > reach) break;
        const at = i * k + j;
        if (allowed[at] === 0 || (i === anchorAt && j !== anchor)) continue;
        // The anchor's own deviation is integrated out: the reference follows it.
        let off =
          j === anchor ? 1 : (1 - TAIL_SHARE) * normal(away, spread[j]) + TAIL_SHARE * normal(away, tail[j]);
        if (pinnedAt[j] >= 0) off += PIN_FLOOR;
        weight[at] = (odds * evidence[at] * off) / density[i];
        hasPair[i] = 1;
      }
    }
    return missing;
  }

  /** forward[a, j]: the sum over the first a active and the first j profile partials. */
  private sumForward(): number {
    const { k, weight, active, activeCount, alone, forward } = this;
    const row = k + 1;
    forward.fill(1, 0, row);
    for (let a = 1; a <= activeCount; a++) {
      const i = active[a - 1];
      const base = a * row;
      const above = base - row;
      forward[base] = forward[above] * alone[i];
      for (let j = 1; j <= k; j++) {
        const diagonal = forward[above + j - 1];
        // j is left out, or paired with an earlier one, or paired with i.
        forward[base + j] =
          forward[base + j - 1] +
          alone[i] * (forward[above + j] - diagonal) +
          weight[i * k + j - 1] * diagonal;
      }
    }
    return forward[activeCount * row + k];
  }

  /** backward[a, j]: the same sum over the active from a and the profile partials from j to the end. */
  private sumBackward(): void {
    const { k, weight, active, activeCount, alone, backward } = this;
    const row = k + 1;
    backward.fill(1, activeCount * row, (activeCount + 1) * row);
    for (let a = activeCount - 1; a >= 0; a--) {
      const i = active[a];
      const base = a * row;
      const below = base + row;
      backward[base + k] = backward[below + k] * alone[i];
      for (let j = k - 1; j >= 0; j--) {
        const diagonal = backward[below + j + 1];
        backward[base + j] =
          backward[base + j + 1] + alone[i] * (backward[below + j] - diagonal) + weight[i * k + j] * diagonal;
      }
    }
  }
}

/**
 * Probability that each partial is missing where the first one above the highest measured is `first`; row `first` of a
 * table of (K + 1) x K. Those above cost NO_REACH + (1 - NO_REACH) x the product of 1 - presence together, shared by powers.
 */
function absences(presence: Float64Array): Float64Array {
  const k = presence.length;
  const table = new Float64Array((k + 1) * k);
  for (let first = 0; first <= k; first++) {
    let log = 0;
    for (let j = first; j < k; j++) log += Math.log(1 - presence[j]);
    const power = log === 0 ? 1 : Math.log(NO_REACH + (1 - NO_REACH) * Math.exp(log)) / log;
    for (let j = 0; j < k; j++) table[first * k + j] = (1 - presence[j]) ** (j >= first ? power : 1);
  }
  return table;
}

function normal(away: number, sd: number): number {
  const z = away / sd;
  return (INV_SQRT_2PI / sd) * Math.exp(-0.5 * z * z);
}

/** Index of the first element at or above `value` in an ascending list; its length when there is none. */
function firstAtOrAbove(ascending: Float64Array, value: number): number {
  let low = 0;
  let high = ascending.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (ascending[middle] < value) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** A pin forbids every other pair in its row and column, and those that cross it. */
function allowedPairs(pinned: Int32Array, k: number): Uint8Array {
  const n = pinned.length;
  const allowed = new Uint8Array(n * k).fill(1);
  for (let p = 0; p < n; p++) {
    const q = pinned[p];
    if (q < 0) continue;
    for (let i = 0; i < n; i++) {
      for (let j = 0; j < k; j++) {
        const kept = (i < p && j < q) || (i > p && j > q) || (i === p && j === q);
        if (!kept) allowed[i * k + j] = 0;
      }
    }
  }
  return allowed;
}
