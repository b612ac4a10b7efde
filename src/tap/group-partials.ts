import type { Doublet, DoubletMember, Estimate } from "../measurement/index.ts";
import { type Mode, totalAmplitude } from "../partials/index.ts";

const Z95 = 1.96;
const LN_1000 = Math.log(1000);
const DB_PER_NEPER = 20 / Math.LN10;

/** One partial of the bell before it has a name: one mode, or the members of a split one. */
export interface Grouped {
  /** Indices into the modes, ascending. */
  members: number[];
  frequencyHz: Estimate;
  decayTimeS: Estimate;
  levelDb: Estimate;
  phaseRad: Estimate;
  doublet: Doublet | null;
  rho: number;
  seenIn: string[];
}

/** Measured doublets of handbells and tower bells split by 0.1 to 1 %; lines farther apart are heard as two tones, not as one that beats. */
const CLOSE_SPLIT = 0.012;
const PAIR_DECAY = 4;
const PAIR_LEVEL_DB = 35;
const MOST_MEMBERS = 4;
/** A beat must be there over this part of its period, before either member meets the noise and before the record ends. */
const BEAT_SEEN = 0.35;

/**
 * Joins the members of split modes into partials, in ascending frequency. `modes` ascend; `recordS` is how long the fit could
 * follow them, from its start to the end of the ring.
 */
export function groupPartials(modes: Mode[], recordS = Number.POSITIVE_INFINITY): Grouped[] {
  const clusters: number[][] = [];
  for (let i = 0; i < modes.length; i++) {
    const cluster = clusters.at(-1);
    if (cluster && belongs(modes, cluster, i)) cluster.push(i);
    else clusters.push([i]);
  }
  const groups = clusters.map((members) => partialOf(members, modes, recordS));
  const top = Math.max(...groups.map((g) => g.levelDb.value));
  return groups.map((g) => relativeTo(g, top));
}

function belongs(modes: Mode[], cluster: number[], i: number): boolean {
  if (cluster.length === MOST_MEMBERS) return false;
  if (modes[i].frequencyHz / modes[cluster[0]].frequencyHz - 1 > CLOSE_SPLIT) return false;
  return areAlike(modes[cluster.at(-1)!], modes[i], PAIR_DECAY, PAIR_LEVEL_DB);
}

function areAlike(a: Mode, b: Mode, mostDecayRatio: number, mostLevelDb: number): boolean {
  const levels = Math.abs(DB_PER_NEPER * Math.log(totalAmplitude(a) / totalAmplitude(b)));
  return ratio(a.decayRatePerS, b.decayRatePerS) < mostDecayRatio && levels < mostLevelDb;
}

/** Levels so far are absolute; they are given relative to the strongest partial. */
function relativeTo(g: Grouped, top: number): Grouped {
  const lower = (e: Estimate): Estimate => ({ ...e, value: e.value - top });
  const doublet = g.doublet && {
    ...g.doublet,
    members: g.doublet.members.map((m) => ({ ...m, levelDb: lower(m.levelDb) })),
  };
  return { ...g, levelDb: lower(g.levelDb), doublet };
}

function ratio(a: number, b: number): number {
  return Math.max(a, b) / Math.min(a, b);
}

function partialOf(members: number[], modes: Mode[], recordS: number): Grouped {
  const list = members.map((i) => modes[i]);
  const powers = list.map((m) => totalAmplitude(m) ** 2);
  const total = powers.reduce((a, b) => a + b, 0);
  const weights = powers.map((p) => p / total);
  const mean = (of: (m: Mode) => number) => list.reduce((s, m, k) => s + weights[k] * of(m), 0);
  const spread = (of: (m: Mode) => number, sd: (m: Mode) => number) => {
    const centre = mean(of);
    // The centre moves with the members' errors and with the errors of their weights.
    const own = list.reduce((s, m, k) => s + (weights[k] * sd(m)) ** 2, 0);
    const byWeight = list.reduce(
      (s, m, k) => s + (2 * weights[k] * (of(m) - centre) * m.logAmplitudeSd) ** 2,
      0,
    );
    return Math.sqrt(own + byWeight);
  };
  const frequencyHz = {
    value: mean((m) => m.frequencyHz),
    ci95:
      Z95 *
      spread(
        (m) => m.frequencyHz,
        (m) => m.frequencySdHz,
      ),
  };
  const alpha = mean((m) => m.decayRatePerS);
  const alphaSd = spread(
    (m) => m.decayRatePerS,
    (m) => m.decayRateSdPerS,
  );
  const strongest = powers.indexOf(Math.max(...powers));
  const logSd = Math.sqrt(list.reduce((s, m, k) => s + (weights[k] * m.logAmplitudeSd) ** 2, 0));
  const seen = list.length > 1 && beatIsSeen(list, recordS);
  const wide = list.at(-1)!.frequencyHz - list[0].frequencyHz;
  return {
    members,
    frequencyHz:
      seen || list.length === 1
        ? frequencyHz
        : { ...frequencyHz, ci95: Math.max(frequencyHz.ci95, wide / 2) },
    decayTimeS: timeOf(alpha, alphaSd),
    levelDb: { value: 10 * Math.log10(total), ci95: Z95 * DB_PER_NEPER * logSd },
    phaseRad: phaseOf(list[strongest]),
    doublet: seen ? doubletOf(list) : null,
    rho: list.reduce((s, m) => s + m.rho, 0),
    seenIn: [...new Set(list.flatMap((m) => m.seenIn))],
  };
}

function timeOf(alpha: number, sd: number): Estimate {
  return { value: LN_1000 / alpha, ci95: (Z95 * sd * LN_1000) / alpha ** 2 };
}

function phaseOf(mode: Mode): Estimate {
  let c = 0;
  for (let i = 1; i < mode.amplitude.length; i++) if (mode.amplitude[i] > mode.amplitude[c]) c = i;
  return { value: mode.phaseRad[c], ci95: Z95 * mode.phaseSdRad };
}

/** Seconds from the start of the fit until the mode meets the noise of its own decay bandwidth, amplitude ratio (4 rho)^(1/2). */
function visibleS(mode: Mode): number {
  return (0.5 * Math.log(Math.max(1, (4 * mode.rho) / Math.max(1, mode.chi)))) / mode.decayRatePerS;
}

function beatIsSeen(list: Mode[], recordS: number): boolean {
  const byAmplitude = [...list].sort((a, b) => totalAmplitude(b) - totalAmplitude(a)).slice(0, 2);
  const split = Math.abs(byAmplitude[0].frequencyHz - byAmplitude[1].frequencyHz);
  return split * Math.min(recordS, visibleS(byAmplitude[0]), visibleS(byAmplitude[1])) >= BEAT_SEEN;
}

function doubletOf(list: Mode[]): Doublet {
  const members = list.map(
    (m): DoubletMember => ({
      frequencyHz: { value: m.frequencyHz, ci95: Z95 * m.frequencySdHz },
      decayTimeS: timeOf(m.decayRatePerS, m.decayRateSdPerS),
      levelDb: {
        value: DB_PER_NEPER * Math.log(totalAmplitude(m)),
        ci95: Z95 * DB_PER_NEPER * m.logAmplitudeSd,
      },
      phaseRad: phaseOf(m),
    }),
  );
  const first = list[0];
  const last = list.at(-1)!;
  const [a, b] = [...list].map(totalAmplitude).sort((x, y) => y - x);
  return {
    members,
    splitHz: {
      value: last.frequencyHz - first.frequencyHz,
      ci95: Z95 * Math.hypot(first.frequencySdHz, last.frequencySdHz),
    },
    beatDepthDb: Math.min(60, DB_PER_NEPER * Math.log((a + b) / Math.max(a - b, 1e-3 * a))),
  };
}
