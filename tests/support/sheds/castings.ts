import type { Random } from "../synthetic/index.ts";
import type { CastMode } from "./cast.ts";

/** What was cast. */
export const CASTINGS = ["tuned", "hobby", "handbell", "thick", "porous", "cracked"] as const;
export type Casting = (typeof CASTINGS)[number];

interface Pattern {
  name: string | null;
  ratio: number;
}

/**
 * Ratios of a tuned minor-third bell and of the D5 bell above them: Fletcher & Rossing, The Physics of Musical Instruments,
 * 2nd ed., table 21.1 (from memory).
 */
const MINOR_THIRD: Pattern[] = [
  { name: "hum", ratio: 0.5 },
  { name: "prime", ratio: 1 },
  { name: "tierce", ratio: 1.19 },
  { name: "quint", ratio: 1.5 },
  { name: "nominal", ratio: 2 },
  { name: "deciem", ratio: 2.514 },
  { name: "undeciem", ratio: 2.662 },
  { name: "superquint", ratio: 3 },
  { name: "octave nominal", ratio: 4.12 },
  { name: "upper fourth", ratio: 5.38 },
  { name: "upper sixth", ratio: 6.73 },
  { name: "triple octave", ratio: 8.15 },
];

/** (2,0) and (3,0) of an English handbell are tuned 1 : 3 (Rossing & Perrin, Applied Acoustics 20 (1987) 41-70); others as of the small handbell of the Csound manual, appendix Modal Frequency Ratios. */
const HANDBELL: Pattern[] = [1, 1.79, 2.52, 3, 3.79, 4.57, 5.03, 6.08, 6.41, 7.08].map((ratio) => ({
  name: null,
  ratio,
}));

interface Scatter {
  /** Of where a partial lies, cents: of the five lowest, and of the others. */
  cents: [number, number];
  noteHz: [number, number];
  /** Q = pi f T60 / ln 1000, at 1 kHz; it falls as f^-fall. */
  q: [number, number];
  fall: number;
}

/**
 * Q of bronze bells is 1,500 to 7,000 (the Sather Tower set: T60 times frequency near 7,000, Q near 3,200); castings of 90/10 that are
 * porous ring 0.3 to 1 s. The scatter of castings that nobody tuned is assumed.
 */
const SCATTER: Record<Casting, Scatter> = {
  tuned: { cents: [8, 25], noteHz: [400, 1500], q: [2000, 4500], fall: 0.1 },
  hobby: { cents: [60, 60], noteHz: [500, 1800], q: [900, 2500], fall: 0.15 },
  handbell: { cents: [5, 80], noteHz: [400, 1600], q: [2500, 5000], fall: 0.2 },
  thick: { cents: [120, 150], noteHz: [900, 2200], q: [1200, 3000], fall: 0.1 },
  porous: { cents: [60, 60], noteHz: [500, 1500], q: [150, 400], fall: 0.1 },
  cracked: { cents: [50, 60], noteHz: [500, 1500], q: [900, 2500], fall: 0.15 },
};

const HIGHEST_HZ = 18000;
const POROUS_T60_S: [number, number] = [0.3, 1];

/**
 * The modes of a casting, struck once by a rod: 12 to 40 lines, in pairs (splits 0.01 to 0.6 %, shared by the place of the
 * blow). Q scatters by 15 % between modes. Levels: hum to nominal -2 to -14 dB, above falling by 8 dB an octave, within 6 dB
 * (assumed: a steel rod is bright).
 */
export function drawCasting(random: Random, casting: Casting): { modes: CastMode[]; noteHz: number | null } {
  const scatter = SCATTER[casting];
  const noteHz = random.logBetween(...scatter.noteHz);
  const pattern = [...(casting === "handbell" ? HANDBELL : MINOR_THIRD)];
  const wanted = random.integer(6, 20);
  // Above the pattern, and between: modes that have no name.
  while (pattern.length < wanted) pattern.push({ name: null, ratio: random.logBetween(2.2, 11) });
  const q = random.logBetween(...scatter.q);
  const pairs = pattern.slice(0, Math.max(wanted, 8)).map(({ name, ratio }, i) => {
    const cents = scatter.cents[i < 5 ? 0 : 1] * random.normal();
    const frequencyHz = noteHz * ratio * 2 ** (cents / 1200);
    const own = q * (frequencyHz / 1000) ** -scatter.fall * Math.exp(0.15 * random.normal());
    const t60S = (Math.log(1000) * own) / (Math.PI * frequencyHz);
    const levelDb =
      ratio <= 2 ? random.between(-14, -2) : -10 - 8 * Math.log2(ratio / 2) + random.between(-6, 6);
    return {
      name,
      frequencyHz,
      levelDb,
      t60S: casting === "porous" ? Math.min(POROUS_T60_S[1], Math.max(POROUS_T60_S[0], t60S)) : t60S,
    };
  });
  const cracked = casting === "cracked";
  const modes = pairs
    .filter(({ frequencyHz }) => frequencyHz < HIGHEST_HZ)
    .flatMap(({ name, frequencyHz, levelDb, t60S }, pair) => {
      // A crack opens the pairs that bend it, and takes their energy: the member with its bend at the crack most.
      const opened = cracked && random.uniform() < 0.6;
      const split = opened ? random.logBetween(0.006, 0.025) : random.logBetween(1e-4, 6e-3);
      const angle = random.between(0.05, Math.PI / 2 - 0.05);
      return [Math.cos(angle), Math.sin(angle)].map((share, member): CastMode => {
        const loss = opened && member === 0 ? random.between(3, 10) : opened ? random.between(1, 2) : 1;
        return {
          name,
          pair,
          frequencyHz: frequencyHz * (1 + (member - 0.5) * split),
          t60S: (t60S * (1 + 0.03 * random.normal())) / loss,
          amplitude: 10 ** (levelDb / 20) * share,
          phaseRad: (random.sign() * Math.PI) / 2,
        };
      });
    });
  const nominal = modes.find((m) => m.name === "nominal");
  return {
    modes,
    noteHz: casting === "handbell" ? modes[0].frequencyHz : nominal ? nominal.frequencyHz / 2 : null,
  };
}
