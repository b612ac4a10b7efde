import { Assignments, type Measured, type Picture } from "./assignment.ts";
import { picturesOf } from "./pictures.ts";
import type { Profile } from "./profile.ts";

export interface NamePosterior {
  /** Probability that measured partial i is profile partial k; N x K, row by row. */
  probability: Float64Array;
  /** Probability that the partials are those of a bell of this kind at all. */
  isOfKind: number;
  /** ln of how much likelier these partials are for a bell of this kind than for strays alone. */
  logEvidence: number;
}

/** Probability before looking that what was struck is not of this kind: where it is only tried, and where the user says so. */
const STRANGER_UNTOLD = 0.6;
const STRANGER_TOLD = 0.05;
/** Step of the reference in the narrowest spread of a picture: the integrand is a product of such bells. */
const GRID_STEP = 0.7;
/** A margin in ln(frequency) around the references at which the outermost partials pair. */
const MARGIN = 0.2;
/** References less likely than this share of the likeliest change no probability that is shown. */
const NEGLIGIBLE = 1e-4;

interface Node {
  picture: Picture;
  /** ln of the reference. */
  u: number;
  anchorAt: number;
  weight: number;
}

/** Every reference to look at, with its prior weight: a grid where it is free, else one per measured partial. */
function nodesOf(measured: Measured, profile: Profile): Node[] {
  const { logFrequency, pinned } = measured;
  const n = logFrequency.length;
  const k = profile.partials.length;
  const first = logFrequency[0] - Math.log(profile.partials[k - 1].ratio) - MARGIN;
  const last = logFrequency[n - 1] - Math.log(profile.partials[0].ratio) + MARGIN;
  const range = last - first;
  const nodes: Node[] = [];
  for (const picture of picturesOf(profile)) {
    const { anchor, prior } = picture;
    if (anchor < 0) {
      const count = Math.ceil(range / (GRID_STEP * Math.min(...picture.spread)));
      for (let node = 0; node < count; node++) {
        nodes.push({
          picture,
          u: first + ((node + 0.5) * range) / count,
          anchorAt: -1,
          weight: prior / count,
        });
      }
      continue;
    }
    const pinnedAnchor = pinned.indexOf(anchor);
    for (let i = 0; i < n; i++) {
      const possible = pinnedAnchor < 0 ? pinned[i] < 0 : i === pinnedAnchor;
      if (!possible) continue;
      const u = logFrequency[i] - picture.logRatio[anchor];
      nodes.push({ picture, u, anchorAt: i, weight: prior / range });
    }
  }
  return nodes;
}

/**
 * Marginal probabilities of names, by these steps:
 *
 * 1. The reference (the frequency of ratio 1) is unknown: its logarithm runs over a grid that covers every partial
 *    being every profile partial. How far the casting is off is unknown: several pictures of it are looked at.
 * 2. At each reference all order-preserving assignments are summed by a forward recursion; profile partials may be
 *    missing, strays may be there. Where the sum matters a backward one gives the share of each pair (the
 *    forward-backward algorithm: Rabiner, Proc. IEEE 77 (1989) 257-286).
 * 3. The shares are averaged over references and pictures by their weights, and held against the chance that
 *    all partials are strays, at the density they were measured with (Poisson).
 *
 * @param isGiven whether the user says that it is of this kind: then each name stands on its own fit
 */
export function namePosterior(measured: Measured, profile: Profile, isGiven: boolean): NamePosterior {
  const n = measured.logFrequency.length;
  const k = profile.partials.length;
  const probability = new Float64Array(n * k);
  if (n === 0) return { probability, isOfKind: 0, logEvidence: 0 };
  const sums = new Assignments(measured, k);
  const expectedStrays = measured.strayShare.reduce((sum, share) => sum + (1 - share), 0);
  const nodes = nodesOf(measured, profile);
  let total = 0;
  let heaviest = 0;
  for (const node of nodes) {
    node.weight *= sums.sum(node.picture, node.u, node.anchorAt);
    total += node.weight;
    heaviest = Math.max(heaviest, node.weight);
  }
  const isPinned = measured.pinned.some((pin) => pin >= 0);
  const stranger = isGiven ? STRANGER_TOLD : STRANGER_UNTOLD;
  const evidence = Math.exp(expectedStrays) * total;
  const ofKind = (1 - stranger) * evidence;
  const isOfKind = isPinned ? 1 : ofKind / (ofKind + stranger);
  for (const node of nodes) {
    if (node.weight < NEGLIGIBLE * heaviest) continue;
    sums.sum(node.picture, node.u, node.anchorAt);
    sums.addShares((node.weight / total) * isOfKind, probability);
  }
  return { probability, isOfKind, logEvidence: Math.log(evidence) };
}
