import type { Estimate, StrikeNote, StrikeNoteCandidate } from "../measurement/index.ts";
import { cents, scaled } from "./estimate.ts";
import { noteOf } from "./notes.ts";
import { type RuledNote, type RuledPartial, ruledNote, type StrikeRule } from "./strike-rule.ts";
import { spectralPitches, type Tone, virtualPitches } from "./virtual-pitch.ts";

export interface StrikeNotePartial extends RuledPartial {
  /** At the strike, relative to any common reference. */
  levelDb: Estimate;
}

export const VIRTUAL = "virtual pitch of the upper partials";
export const SPECTRAL = "dominant spectral pitch";

/**
 * Recordings carry no sound pressure: the strongest partial is taken to reach the ear at 70 dB SPL, an assumption;
 * 55 and 85 dB show what it is worth.
 */
const LISTENING_DB_SPL = 70;
const OTHER_LISTENING_DB_SPL = [55, 85];
/** Partials this near mask one another as one. */
const ONE_PLACE_CENTS = 50;
/** Of these, such as beat as one tone; above about 20 beats a second two are heard (common practice, no source). */
const ONE_TONE_HZ = 20;
/** Nearer than 1 % they are one tone at any pitch: a doublet. */
const DOUBLET_CENTS = 17;
/** Two pitches nearer than this are the same answer: a semitone, as the spacing of the partials moves it half one. */
const SAME_PITCH_CENTS = 100;
/** A pitch at another listening level, or at half the nominal, is the same one within this much. */
const SAME_CANDIDATE_CENTS = 50;
/** A spectral pitch counts half beside the virtual ones (Terhardt, Stoll & Seewann 1982). */
const SPECTRAL_SHARE = 0.5;
/** Pitches lighter than this share of the heaviest are not worth a line. */
const LEAST_SHARE = 0.1;
/** Spectral pitches may be two in one place. */
const MOST_SPECTRAL = 3;
const MOST_OTHERS = 2;
/**
 * Virtual pitch counts fully for tones up to the first frequency and no more from the second: most listeners heard it
 * with nominals of 500 to 1500 Hz (Hibbert 2008); the fade above, to half at 2000 Hz, is this project's choice.
 */
const VIRTUAL_FULL_HZ = 1500;
const VIRTUAL_GONE_HZ = 2667;
/** Partials this far below the nominal no longer count as upper ones. */
const BELOW_NOMINAL = 0.97;
const FEWEST_UPPER = 2;

/** What the ear has in one place: one tone, or several too near one another for the model to part. */
interface HeardTone {
  /** That of the strongest part. */
  frequencyHz: Estimate;
  levelDb: number;
  parts: { frequencyHz: Estimate; share: number }[];
}

interface Candidate {
  frequencyHz: Estimate;
  method: string;
  weight: number;
}

function isOneTone(lowHz: number, highHz: number): boolean {
  return cents(highHz, lowHz) < DOUBLET_CENTS || highHz - lowHz < ONE_TONE_HZ;
}

/** Groups of partials, ascending, each within reach of its lowest. */
function grouped(
  partials: readonly StrikeNotePartial[],
  isNear: (lowHz: number, highHz: number) => boolean,
): StrikeNotePartial[][] {
  const groups: StrikeNotePartial[][] = [];
  for (const partial of [...partials].sort((a, b) => a.frequencyHz.value - b.frequencyHz.value)) {
    const group = groups.at(-1);
    if (group !== undefined && isNear(group[0].frequencyHz.value, partial.frequencyHz.value))
      group.push(partial);
    else groups.push([partial]);
  }
  return groups;
}

const powerOf = (group: readonly StrikeNotePartial[]) =>
  group.reduce((sum, { levelDb }) => sum + 10 ** (levelDb.value / 10), 0);

/** Partials as the ear has them, ascending: those within 50 cents mask as one, and of these each tone is told. */
function heardTones(partials: readonly StrikeNotePartial[]): HeardTone[] {
  return grouped(partials, (low, high) => cents(high, low) < ONE_PLACE_CENTS).map((group) => {
    const total = powerOf(group);
    const parts = grouped(group, isOneTone)
      .map((tone) => ({ frequencyHz: centreOf(tone), share: powerOf(tone) / total }))
      .sort((a, b) => b.share - a.share);
    return { frequencyHz: parts[0].frequencyHz, levelDb: 10 * Math.log10(total), parts };
  });
}

/** Partials that beat as one tone, at their power-weighted centre. */
function centreOf(group: readonly StrikeNotePartial[]): Estimate {
  const power = group.map((partial) => 10 ** (partial.levelDb.value / 10));
  const total = powerOf(group);
  const centre = group.reduce((sum, partial, i) => sum + (power[i] / total) * partial.frequencyHz.value, 0);
  const fromErrors = Math.hypot(
    ...group.flatMap(({ frequencyHz, levelDb }, i) => [
      (power[i] / total) * frequencyHz.ci95,
      (power[i] / total) * (frequencyHz.value - centre) * (Math.LN10 / 10) * levelDb.ci95,
    ]),
  );
  // Which of two lines apart an ear follows is open: the interval reaches both.
  const reach = Math.max(...group.map(({ frequencyHz }) => Math.abs(frequencyHz.value - centre)));
  return { value: centre, ci95: Math.max(fromErrors, reach) };
}

/** 1 where virtual pitch holds, 0 where it is gone, linear in ln(frequency) between. */
function virtualShare(frequencyHz: number): number {
  const fade = Math.log(VIRTUAL_GONE_HZ / frequencyHz) / Math.log(VIRTUAL_GONE_HZ / VIRTUAL_FULL_HZ);
  return Math.min(1, Math.max(0, fade));
}

/** Every pitch a listener may report at this listening level, heaviest first. */
function pitchesAt(
  listeningDbSpl: number,
  heard: readonly HeardTone[],
  ruled: RuledNote | null,
): Candidate[] {
  const strongest = Math.max(...heard.map((tone) => tone.levelDb));
  const tones: Tone[] = heard.map(({ frequencyHz, levelDb }) => ({
    frequencyHz: frequencyHz.value,
    levelDbSpl: listeningDbSpl + levelDb - strongest,
  }));
  const spectral = spectralPitches(tones);
  // The strike note of a bell comes from the nominal and the rim partials above it (Hibbert 2008).
  const lowest = ruled === null ? 0 : BELOW_NOMINAL * 2 * ruled.frequencyHz.value;
  const upper = spectral.filter((pitch) => pitch.frequencyHz >= lowest);
  const virtual = virtualPitches(upper.length >= FEWEST_UPPER ? upper : spectral);
  const candidates: Candidate[] = spectral.flatMap(({ tone, weight }) =>
    heard[tone].parts.map(({ frequencyHz, share }) => ({
      frequencyHz,
      method: SPECTRAL,
      // The strongest has the weight of the place.
      weight: (SPECTRAL_SHARE * weight * share) / heard[tone].parts[0].share,
    })),
  );
  for (const { tone, subharmonic, weight } of virtual) {
    const share = virtualShare(heard[tone].frequencyHz.value);
    const frequencyHz = scaled(heard[tone].frequencyHz, 1 / subharmonic);
    candidates.push({ frequencyHz, method: VIRTUAL, weight: share * weight });
  }
  if (ruled !== null) {
    const weights = [...virtual, ...spectral].map(({ weight }) => weight);
    // Where the ear model hears nothing, the rule stands alone.
    const heaviest = weights.length === 0 ? 1 : Math.max(...weights);
    const { frequencyHz, method, confidence } = ruled;
    candidates.push({ frequencyHz, method, weight: SPECTRAL_SHARE * confidence * heaviest });
  }
  return candidates.filter(({ weight }) => weight > 0).sort((a, b) => b.weight - a.weight);
}

function samePitch(a: Estimate, b: Estimate): boolean {
  return Math.abs(cents(a.value, b.value)) <= SAME_PITCH_CENTS;
}

/** The measured interval, and how far the same pitch moves with the listening level, in squares. */
function withLevelDoubt(candidate: Candidate, elsewhere: readonly Candidate[][]): Estimate {
  const { value, ci95 } = candidate.frequencyHz;
  const moved = elsewhere.flatMap((list) => {
    const off = list
      .filter((other) => other.method === candidate.method)
      .map((other) => Math.abs(other.frequencyHz.value - value));
    const nearest = Math.min(...off);
    return cents(value + nearest, value) <= SAME_CANDIDATE_CENTS ? [nearest] : [];
  });
  return { value, ci95: Math.hypot(ci95, Math.max(0, ...moved)) };
}

/** Weight of the heaviest pitch against that of the heaviest one that is another answer; 0.5 is a draw. */
function lead(chosen: Candidate, list: readonly Candidate[]): number {
  const own = list.find((c) => samePitch(c.frequencyHz, chosen.frequencyHz))?.weight ?? 0;
  const rival = list.find((c) => !samePitch(c.frequencyHz, chosen.frequencyHz))?.weight ?? 0;
  return own === 0 ? 0 : own / (own + rival);
}

/**
 * The strike note of a bell, named or not, with every other pitch that a listener may report.
 *
 * 1. Partials that beat as one tone are one. The strongest is taken to be heard at 70 dB SPL.
 * 2. By the trade's rule the strike note is half the nominal ({@link ruledNote}), at any size; its confidence is that of
 *    the name.
 * 3. Spectral and virtual pitches by Terhardt, Stoll & Seewann (1982) are what listeners may hear otherwise: with a note
 *    by rule, the virtual ones of the nominal and the partials above it. Virtual pitches of tones above 1500 Hz fade, to
 *    half at 2000 Hz and to nothing at 2667 Hz: a small bell is heard at its dominant spectral pitch.
 * 4. Without a note by rule the strike note is the heaviest of these; its confidence is its weight against that of the
 *    heaviest other pitch, over listening levels of 55, 70 and 85 dB, and its interval holds what the level moves it.
 *
 * The model knows nothing of the shift that the spacing of the upper partials makes, up to half a semitone (Hibbert,
 * Taherzadeh & Sharp, Open Journal of Acoustics 7 (2017) 52-68); the interval does not hold it.
 *
 * @param rule what the profile says; null where no profile is at hand
 * @returns null without a partial that is named by the rule or that the model can hear (none up to 5 kHz, or all masked)
 */
export function strikeNoteOf(
  partials: readonly StrikeNotePartial[],
  a4Hz: number,
  rule: StrikeRule | null,
): StrikeNote | null {
  const heard = heardTones(partials);
  const ruled = ruledNote(partials, rule);
  const list = pitchesAt(LISTENING_DB_SPL, heard, ruled);
  if (list.length === 0) return null;
  const elsewhere = OTHER_LISTENING_DB_SPL.map((level) => pitchesAt(level, heard, ruled));
  const chosen = list.find(({ method }) => method === ruled?.method) ?? list[0];
  const lines = worthALine(list, chosen);
  const candidates = lines.map((candidate): StrikeNoteCandidate => {
    const frequencyHz = withLevelDoubt(candidate, elsewhere);
    const weight = candidate.weight / list[0].weight;
    return { frequencyHz, method: candidate.method, weight, ...noteOf(frequencyHz, a4Hz) };
  });
  const leads = [list, ...elsewhere].map((other) => lead(chosen, other));
  const { frequencyHz, method, note, cents: above } = candidates[lines.indexOf(chosen)];
  return {
    frequencyHz,
    note,
    cents: above,
    method,
    confidence: ruled?.confidence ?? leads.reduce((sum, value) => sum + value, 0) / leads.length,
    candidates,
  };
}

/** The chosen one and the heaviest of each method, unless they are light beside the heaviest of all. */
function worthALine(list: readonly Candidate[], chosen: Candidate): Candidate[] {
  return list.filter((candidate, at) => {
    if (candidate === chosen) return true;
    const heavier = list.slice(0, at).filter((other) => other.method === candidate.method).length;
    return (
      heavier < (candidate.method === SPECTRAL ? MOST_SPECTRAL : MOST_OTHERS) &&
      candidate.weight >= LEAST_SHARE * list[0].weight
    );
  });
}
