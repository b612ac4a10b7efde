import type { CombinationLine, Mode, SteadyLine } from "./mode.ts";
import type { SoundsInQuiet } from "./quiet-tones.ts";

export interface LabelledLines {
  modes: Mode[];
  steady: SteadyLine[];
  combinations: CombinationLine[];
}

/** No bell rings for six minutes (T60): common practice, no source; the slowest of 61 of a carillon take two. */
const NO_DECAY_PER_S = 0.02;
/** A tone that falls by more nepers than this over the record (10 dB) does decay, however badly its rate is known. */
const STEADY_FALL = 1.15;
/** A rate no better known than this many standard errors is none. */
const RATE_ERRORS = 3;
/** It certainly does not when, two standard errors allowed for, it falls by less than this over the record (3 dB). */
const NO_FALL = 0.35;
/** Where there is no quiet to look in, what is so far under the loudest and not known to decay is taken for a tone of the surroundings. */
const FAINT_DB = 40;
/**
 * On a harmonic of the mains five: a recording with hum has some tens of tones, of which three errors would take one for a decay in
 * every twentieth recording.
 */
const MAINS_RATE_ERRORS = 5;
const MAINS_HZ = [50, 60];
const MAINS_HARMONICS = 20;
/** Mains drifts by a few parts in a thousand. */
const MAINS_TOLERANCE = 0.003;
/** Bell metal rings with Q of many hundreds; what is 60 dB down in under twenty cycles is a clatter (common practice, no source). */
const LOW_Q = 8;
/** Low resonances of a room or a bench have Q of some tens; bells that low are large and ring for many seconds. */
const ROOM_Q = 60;
const ROOM_BELOW_HZ = 200;
/** A combination line lies this far under its stronger parent at least, ... */
const COMBINATION_BELOW_DB = 25;
/** ... and decays at about the sum of its parents' rates. */
const COMBINATION_DECAY = [0.7, 2.2];
const COMBINATION_PARENT_DB = 40;
/** Distortion of the fourth order at the most; what is higher lies under any noise. */
const MOST_PARENTS = 4;
/** The members of a split partial lie within this part of their frequency. */
const SPLIT = 0.012;

/**
 * Sorts stable lines into modes of the bell, steady tones and other interference, and combinations. `floorDb`: lines this
 * far under the strongest, at the strike, are not listed as modes (0 lists all). `recordS` is the length of the ring. A line that is
 * not known to decay is a mode all the same unless it sounds in the quiet too: the hum of a large bell hardly falls within a record.
 */
export function labelLines(
  lines: Mode[],
  floorDb: number,
  recordS: number,
  soundsInQuiet: SoundsInQuiet,
): LabelledLines {
  const steady: SteadyLine[] = [];
  const ringing: Mode[] = [];
  for (const line of lines) {
    const kind = steadyKind(line, lines, recordS, soundsInQuiet);
    if (kind === null) ringing.push(line);
    else steady.push({ frequencyHz: line.frequencyHz, amplitude: totalAmplitude(line), ...kind });
  }
  const top = Math.max(0, ...ringing.map(totalAmplitude));
  // The louder first: a line is made of louder ones, and those may be made themselves.
  const made = new Map<Mode, Mode[]>();
  const own: Mode[] = [];
  for (const line of [...ringing].sort((a, b) => totalAmplitude(b) - totalAmplitude(a))) {
    const parents = parentsOf(line, [...own, ...made.keys()], own, top)?.flatMap((p) => made.get(p) ?? [p]);
    if (parents && parents.length <= MOST_PARENTS) made.set(line, parents);
    else own.push(line);
  }
  const modes = ringing.filter((line) => !made.has(line) && above(line, top, floorDb));
  const place = new Map(modes.map((m, i) => [m, i]));
  const combinations: CombinationLine[] = [];
  for (const line of ringing) {
    const of = made.get(line)?.map((p) => place.get(p));
    if (!of || of.some((p) => p === undefined)) continue;
    const ascending = of.map((p) => p!).sort((a, b) => a - b);
    combinations.push({ frequencyHz: line.frequencyHz, amplitude: totalAmplitude(line), of: ascending });
  }
  return { modes, steady, combinations };
}

export function totalAmplitude(line: { amplitude: Float64Array }): number {
  return Math.hypot(...line.amplitude);
}

function above(line: Mode, top: number, floorDb: number): boolean {
  return floorDb === 0 || 20 * Math.log10(totalAmplitude(line) / top) > -floorDb;
}

function steadyKind(
  line: Mode,
  all: Mode[],
  recordS: number,
  soundsInQuiet: SoundsInQuiet,
): Pick<SteadyLine, "kind" | "text"> | null {
  const { frequencyHz: f, decayRatePerS: alpha, decayRateSdPerS: sd } = line;
  const mains = mainsHarmonic(f);
  const errors = mains ? MAINS_RATE_ERRORS : RATE_ERRORS;
  const hardlyDecays = alpha + 2 * sd < NO_DECAY_PER_S;
  if (hardlyDecays || (alpha < errors * sd && alpha * recordS < STEADY_FALL)) {
    // 1000 Hz is also the 20th harmonic of 50: two lines of the comb say which it is.
    const comb = combOf(line, all);
    if (comb) return { kind: "steady tone", text: comb };
    if (mains) return { kind: "mains", text: mains };
    const isSteady =
      hardlyDecays ||
      (alpha + 2 * sd) * recordS < NO_FALL ||
      (soundsInQuiet(f, totalAmplitude(line)) ?? isFaint(line, all));
    if (isSteady) return { kind: "steady tone", text: "a tone that does not decay" };
  }
  const q = (Math.PI * f) / alpha;
  if (f < ROOM_BELOW_HZ && q < ROOM_Q)
    return { kind: "room", text: "a short low resonance, of the room or the bench" };
  return q < LOW_Q ? { kind: "rod", text: "a short dull resonance, of the rod or its handle" } : null;
}

function isFaint(line: Mode, all: Mode[]): boolean {
  return 20 * Math.log10(totalAmplitude(line) / Math.max(...all.map(totalAmplitude))) < -FAINT_DB;
}

function mainsHarmonic(f: number): string | null {
  for (const mains of MAINS_HZ) {
    const n = Math.round(f / mains);
    if (n >= 1 && n <= MAINS_HARMONICS && Math.abs(f - n * mains) < MAINS_TOLERANCE * f) {
      return n === 1 ? `${mains} Hz mains hum` : `harmonic ${n} of ${mains} Hz mains`;
    }
  }
  return null;
}

/** A steady line at a whole multiple of a kilohertz, as digital circuits and wireless microphones leave. */
function combOf(line: Mode, all: Mode[]): string | null {
  const n = Math.round(line.frequencyHz / 1000);
  const onComb = (f: number) =>
    Math.round(f / 1000) >= 1 && Math.abs(f - 1000 * Math.round(f / 1000)) < 1 + 2e-4 * f;
  if (n >= 1 && onComb(line.frequencyHz) && all.filter((l) => onComb(l.frequencyHz)).length >= 2) {
    return `multiple ${n} of an electrical tone at 1 kHz`;
  }
  return null;
}

/**
 * The two (or twice the same) of the `louder` lines whose sum this one is, or null; null too where it decays more like a line
 * of the bell's own within a doublet's reach than like the sum: then it is the other member of that partial.
 */
function parentsOf(line: Mode, louder: Mode[], bells: Mode[], top: number): [Mode, Mode] | null {
  const own = totalAmplitude(line);
  const strong = louder.filter(
    (p) => own <= totalAmplitude(p) && 20 * Math.log10(totalAmplitude(p) / top) > -COMBINATION_PARENT_DB - 20,
  );
  for (let i = 0; i < strong.length; i++) {
    for (let j = i; j < strong.length; j++) {
      const [a, b] = [strong[i], strong[j]];
      const loudest = Math.max(totalAmplitude(a), totalAmplitude(b));
      if (20 * Math.log10(own / loudest) > -COMBINATION_BELOW_DB) continue;
      const parents = i === j ? 2 * a.frequencySdHz : Math.hypot(a.frequencySdHz, b.frequencySdHz);
      const sd = Math.hypot(line.frequencySdHz, parents);
      if (Math.abs(line.frequencyHz - a.frequencyHz - b.frequencyHz) > 3 * sd) continue;
      const sum = a.decayRatePerS + b.decayRatePerS;
      const ratio = line.decayRatePerS / sum;
      const slack = 3 * (line.decayRateSdPerS / line.decayRatePerS);
      if (ratio <= COMBINATION_DECAY[0] - slack || ratio >= COMBINATION_DECAY[1] + slack) continue;
      const unlike = (rate: number) => Math.abs(Math.log(line.decayRatePerS / rate));
      const isMember = bells.some(
        (m) =>
          Math.abs(m.frequencyHz / line.frequencyHz - 1) < SPLIT && unlike(m.decayRatePerS) < unlike(sum),
      );
      if (!isMember) return [a, b];
    }
  }
  return null;
}
