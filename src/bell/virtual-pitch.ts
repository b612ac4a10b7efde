/**
 * Spectral and virtual pitch of a set of steady tones.
 *
 * E. Terhardt, G. Stoll & M. Seewann, "Algorithm for extraction of pitch and pitch salience from complex tonal signals",
 * J. Acoust. Soc. Am. 71 (1982) 679-688, without the optional low-pass of virtual pitches and without pitch shifts.
 */

export interface Tone {
  frequencyHz: number;
  /** Sound pressure level, dB. */
  levelDbSpl: number;
}

export interface SpectralPitch {
  /** Index of the tone. */
  tone: number;
  frequencyHz: number;
  /** Level over its masked threshold, dB. */
  excessDb: number;
  /** Spectral pitch weight WS, 0 to 1. */
  weight: number;
}

export interface VirtualPitch {
  /** Of the tone over `subharmonic`. */
  frequencyHz: number;
  /** Index of the tone whose subharmonic this is. */
  tone: number;
  subharmonic: number;
  weight: number;
}

/** Tones above this give no pitch that the model knows. */
const HIGHEST_TONE_HZ = 5000;
/** Virtual pitches closer than this are one; the heavier stands. */
const MERGE_WITHIN = 0.03;
/** Virtual pitches lighter than this are not heard. */
const LEAST_WEIGHT = 0.1;
const HIGHEST_SUBHARMONIC = 12;
/** Harmonic numbers above this do not hold a pitch up. */
const HIGHEST_HARMONIC = 20;
/** Relative deviation from a harmonic at which two tones no longer coincide. */
const COINCIDENCE = 0.08;
/** Slope of the masking skirt below a tone, dB per Bark. */
const LOWER_SKIRT_DB_PER_BARK = 27;

/** Critical-band rate in Bark at a frequency in kHz. */
export function criticalBandRate(frequencyKhz: number): number {
  return 13 * Math.atan(0.76 * frequencyKhz) + 3.5 * Math.atan((frequencyKhz / 7.5) ** 2);
}

/** Threshold in quiet, dB SPL, at a frequency in kHz. */
export function thresholdDb(frequencyKhz: number): number {
  const dip = 6.5 * Math.exp(-0.6 * (frequencyKhz - 3.3) ** 2);
  return 3.64 * frequencyKhz ** -0.8 - dip + 0.001 * frequencyKhz ** 4;
}

/** How much a spectral pitch at a frequency in kHz counts, 1 at 700 Hz: the region that dominates pitch. */
export function dominance(frequencyKhz: number): number {
  return 1 / Math.sqrt(1 + 0.07 * (frequencyKhz / 0.7 - 0.7 / frequencyKhz) ** 2);
}

/** Level in dB that tone j excites at the place of tone i. */
function maskingDb(j: Tone, i: Tone): number {
  const fj = j.frequencyHz / 1000;
  const apart = criticalBandRate(fj) - criticalBandRate(i.frequencyHz / 1000);
  if (j.frequencyHz > i.frequencyHz) return j.levelDbSpl - LOWER_SKIRT_DB_PER_BARK * apart;
  const slope = -24 - 0.23 / fj + 0.2 * j.levelDbSpl;
  return j.levelDbSpl - slope * apart;
}

/**
 * The tones that stand out of the masking of all others and of the threshold in quiet, with their weights, in the
 * order of the tones. Tones above 5 kHz mask and give no pitch.
 */
export function spectralPitches(tones: readonly Tone[]): SpectralPitch[] {
  const pitches: SpectralPitch[] = [];
  tones.forEach((tone, i) => {
    if (tone.frequencyHz > HIGHEST_TONE_HZ) return;
    let amplitude = 0;
    tones.forEach((other, j) => {
      if (j !== i) amplitude += 10 ** (maskingDb(other, tone) / 20);
    });
    const kilohertz = tone.frequencyHz / 1000;
    const excessDb = tone.levelDbSpl - 10 * Math.log10(amplitude ** 2 + 10 ** (thresholdDb(kilohertz) / 10));
    if (excessDb <= 0) return;
    const weight = (1 - Math.exp(-excessDb / 15)) * dominance(kilohertz);
    pitches.push({ tone: i, frequencyHz: tone.frequencyHz, excessDb, weight });
  });
  return pitches;
}

/** Weight of the m-th subharmonic of one spectral pitch: how well the others lie on its harmonics. */
function coincidence(pitch: SpectralPitch, m: number, all: readonly SpectralPitch[]): number {
  let sum = 0;
  for (const other of all) {
    if (other === pitch) continue;
    const n = Math.floor((m * other.frequencyHz) / pitch.frequencyHz + 0.5);
    if (n < 1 || n > HIGHEST_HARMONIC) continue;
    const off = Math.abs((n * pitch.frequencyHz) / (m * other.frequencyHz) - 1);
    if (off > COINCIDENCE) continue;
    sum += Math.sqrt((pitch.weight * other.weight) / (m * n)) * (1 - off / COINCIDENCE);
  }
  return sum;
}

/** Virtual pitches of a set of spectral pitches, heaviest first; [] where nothing coincides. */
export function virtualPitches(pitches: readonly SpectralPitch[]): VirtualPitch[] {
  const all: VirtualPitch[] = [];
  for (const pitch of pitches) {
    for (let m = 1; m <= HIGHEST_SUBHARMONIC; m++) {
      const weight = coincidence(pitch, m, pitches);
      if (weight < LEAST_WEIGHT) continue;
      all.push({ frequencyHz: pitch.frequencyHz / m, tone: pitch.tone, subharmonic: m, weight });
    }
  }
  all.sort((a, b) => b.weight - a.weight || a.subharmonic - b.subharmonic);
  const kept: VirtualPitch[] = [];
  for (const candidate of all) {
    const near = kept.some((k) => Math.abs(candidate.frequencyHz / k.frequencyHz - 1) <= MERGE_WITHIN);
    if (!near) kept.push(candidate);
  }
  return kept;
}
