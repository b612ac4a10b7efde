/**
 * The measurement of one casting: plain data, the schema `ringwright.tap/1`.
 * `tap` makes it, findings read only it, reports only draw it. Units are in the names.
 */

/** A measured value with the half-width of its 95 % interval, in the same unit. */
export interface Estimate {
  value: number;
  ci95: number;
}

export interface RecordingInfo {
  /** File name without folders, or "-" for standard input. */
  file: string;
  /** "wav", "flac", "mp3", "ogg-vorbis", "opus" ... */
  format: string;
  lossy: boolean;
  sampleRateHz: number;
  channels: number;
  /** Bits per sample; null where the coding has none (lossy). */
  bits: number | null;
  durationS: number;
  clipped: boolean;
  /** Samples at or stuck to full scale, over all channels. */
  clippedSamples: number;
  /** Largest mean over the channels, full scale = 1; removed before measuring. */
  dcOffset: number;
  /** Which channels were used and how, in words. */
  channelUse: string;
  /** What the reader had to forgive (cut-off file, wrong header length ...), in sentences. */
  warnings: string[];
}

/** "cut off": the recording itself is turned down, noise and all, by a gate, a fade or a cut. */
export type StrikeEnd = "end of recording" | "next strike" | "noise floor" | "hand damping" | "cut off";

export interface StrikeInfo {
  /** Index into `recordings` of the measurement. */
  recording: number;
  onsetS: number;
  /** Seconds of each contact of the rod within this strike; more than one is a bounce or a double hit. */
  contactsS: number[];
  /** Where the fit of the partials begins and ends, seconds from the start of the recording. */
  fitStartS: number;
  endS: number;
  endedBy: StrikeEnd;
  peakDbfs: number;
  usedS: number;
  /** Level of the first 50 ms over the noise, dB. */
  snrDb: number;
  clipped: boolean;
  rattle: boolean;
  /** Why this strike was left out of the pooled values, or null when it was used. */
  leftOut: string | null;
  /** Where it is another bell, by how much that is higher than this one, cents; else null. Absent in older files. */
  otherBellCents?: number | null;
}

export interface DoubletMember {
  frequencyHz: Estimate;
  decayTimeS: Estimate;
  levelDb: Estimate;
  phaseRad: Estimate;
}

export interface Doublet {
  /** Two, or more in a dense cluster; ascending in frequency. */
  members: DoubletMember[];
  /** Highest minus lowest member; the beat rate is the same number per second. */
  splitHz: Estimate;
  /** Peak-to-trough depth of the beat at the strike, dB, from the two strongest members. */
  beatDepthDb: number;
}

/** One mode of the bell as the trade counts it: a doublet is one partial. */
export interface TapPartial {
  name: string | null;
  /** 0 to 1: how sure the name is; 1 when pinned by the user. null without a name. */
  nameConfidence: number | null;
  /** Number of nodal meridians m where the profile or the rim law gives it. */
  nodalMeridians: number | null;
  /** Power-weighted centre of the members. */
  frequencyHz: Estimate;
  /** 60 dB decay time. */
  decayTimeS: Estimate;
  /** At the strike, relative to the strongest partial. */
  levelDb: Estimate;
  phaseRad: Estimate;
  q: Estimate;
  lossFactor: Estimate;
  /** A-weighted level relative to the A-weighted strongest partial. */
  levelDba: number;
  /** To the profile's reference partial (or to the lowest partial where none is named). */
  ratio: Estimate;
  idealRatio: number | null;
  deviationCents: Estimate | null;
  doublet: Doublet | null;
  /** Standard deviation of the frequency between strikes, Hz; null with one strike. */
  strikeSpreadHz: number | null;
  /** Standard deviation of the decay time between strikes, s; null with one strike. */
  strikeSpreadS: number | null;
  /** Matched-filter signal-to-noise ratio rho = A^2 fs / (8 alpha S). */
  rho: number;
  /** What made this line count: e.g. "later stretch", "other channel", "other strike". */
  seenIn: string[];
}

export interface Interference {
  frequencyHz: number;
  levelDb: number;
  kind: "mains" | "steady tone" | "rod" | "room";
  /** One sentence, e.g. "2nd harmonic of 50 Hz mains". */
  text: string;
}

export interface Combination {
  frequencyHz: number;
  levelDb: number;
  /** Indices into `partials`, two to four; [i, i] for a second harmonic. */
  of: number[];
  /** "second harmonic of hum", "sum of hum and nominal", "sum of hum, hum and prime" ... */
  text: string;
}

export interface StrikeNoteCandidate {
  frequencyHz: Estimate;
  /** "virtual pitch of the upper partials", "dominant spectral pitch", "half the nominal". */
  method: string;
  /** 0 to 1 relative weight. */
  weight: number;
  note: string;
  cents: Estimate;
}

export interface StrikeNote {
  frequencyHz: Estimate;
  /** Scientific pitch name in equal temperament from a4Hz, e.g. "C6". */
  note: string;
  cents: Estimate;
  method: string;
  /** 0 to 1. */
  confidence: number;
  /** All pitches that a listener may report, strongest first; holds the chosen one too. */
  candidates: StrikeNoteCandidate[];
}

/** ISO 3382 decay of the whole sound; null where the record does not reach far enough over the noise. */
export interface Sustain {
  t60S: Estimate | null;
  edtS: Estimate | null;
  t20S: Estimate | null;
  t30S: Estimate | null;
  /** Seconds from the strike until the whole sound meets the noise. */
  audibleS: Estimate | null;
}

export interface Brightness {
  /** A-weighted power centroid of the partials at the strike. */
  centroidHz: Estimate;
  /** Over the nominal where named, else over the strike note, else over the lowest partial. */
  centroidRatio: Estimate;
  ratioTo: string;
}

/** f = C (m + b)^p over the rim partials. */
export interface RimLaw {
  c: number;
  b: number;
  p: number;
  rmsCents: number;
  /** Partials used, as indices. */
  partials: number[];
}

/** How the partials were measured, for the acoustician. */
export interface FitReport {
  /** False: the ring-down is not a sum of free decays; partials are then visible peaks with wide intervals. */
  freeDecay: boolean;
  /** One sentence when freeDecay is false, or when a glide was seen. */
  note: string | null;
  /** Relative frequency change from the blow to the settled values, when significant; negative where the bell begins sharp. */
  glidePercent: Estimate | null;
  /**
   * How much louder noise is beside partials that sound than in the quiet, dB, where it goes with them: noise is suppressed by
   * bands. Not in files of older builds.
   */
  noisePassedDb?: Estimate | null;
  /**
   * Seconds after the strike at which another sound sets in between the partials, or null. Not in files of older builds.
   */
  otherSoundS?: Estimate | null;
  startAfterContactS: number;
  noiseFrom: "before the strike" | "after the ring" | "the residual";
  /** Residual sum of squares over degrees of freedom, median over the bands. */
  medianChi: number;
  linesTried: number;
  linesKept: number;
  stopReason: string;
}

/** A curve to draw, thinned for the report; arrays of equal length. */
export interface SpectrumCurve {
  frequencyHz: number[];
  /** Relative to the strongest partial's line. */
  levelDb: number[];
  noiseDb: number[];
}

export interface RingDownCurve {
  /** Index into `partials`, or null for the whole sound. */
  partial: number | null;
  /** From the onset. */
  timeS: number[];
  levelDb: number[];
  /** The fitted model at the same times, beats included. */
  modelDb: number[];
  /** Noise in the same band, one level. */
  noiseDb: number;
}

export type FindingOutcome = "good" | "attention" | "note" | "not-measurable";

export type Evidence =
  | { kind: "number"; label: string; value: number; ci95: number | null; unit: string }
  | { kind: "table"; label: string; columns: string[]; rows: (string | number | null)[][] }
  | { kind: "time"; label: string; fromS: number; toS: number; recording: number }
  | {
      kind: "chart";
      label: string;
      chart: "spectrum" | "ring-down" | "deviation" | "beats";
      partial: number | null;
    };

export interface Finding {
  id: string;
  /** Short heading in plain words. */
  title: string;
  outcome: FindingOutcome;
  text: string;
  evidence: Evidence[];
}

export interface TapOptions {
  /** What the user calls this bell; free text, shown escaped. */
  label: string;
  a4Hz: number;
  /** Id of the profile of ideal ratios, e.g. "minor-third". */
  profile: string;
  /** K of the pattern's K-fold symmetry, or null. */
  ridges: number | null;
  /** Partial name to hertz. */
  pins: Record<string, number>;
}

/** One partial that the chosen profile expects; what lets a reader see that one is missing. */
export interface ExpectedPartial {
  name: string;
  /** On the scale of `ratio` in the partials. */
  idealRatio: number;
  nodalMeridians: number | null;
  /** 0 to 1: how often a careful recording shows it, by the profile. */
  presence: number;
}

/** What kind of bell the partials were named as, and who says so. */
export interface BellKind {
  /** Of the profile whose id the options hold. */
  title: string;
  /** "default" where no kind fits clearly better than the others. */
  chosenBy: "user" | "recognised" | "default";
  /** 0 to 1, against all profiles that were tried and none of them; null where the user chose. */
  probability: number | null;
  /** The partial whose half is the strike note of such bells by the trade's rule, or null. */
  strikeHalfOf: string | null;
  /** Every profile that was tried; [] where the user chose. */
  tried: { profile: string; probability: number }[];
}

export interface TapMeasurement {
  schema: "ringwright.tap/1";
  /** Version of the tool and of the method; a cache is valid for one method only. */
  tool: { name: "ringwright"; version: string; method: string };
  options: TapOptions;
  /** Absent in files of versions that knew no kinds. */
  kind?: BellKind;
  /** The partials of the profile, ascending; [] for a profile without any. */
  expectedPartials: ExpectedPartial[];
  /** One per input; `recording` is the first, kept for readers of one-recording files. */
  recording: RecordingInfo;
  recordings: RecordingInfo[];
  strikes: StrikeInfo[];
  partials: TapPartial[];
  interference: Interference[];
  combinations: Combination[];
  strikeNote: StrikeNote | null;
  sustain: Sustain;
  brightness: Brightness | null;
  rimLaw: RimLaw | null;
  fit: FitReport;
  curves: { spectrum: SpectrumCurve; ringDowns: RingDownCurve[] };
  findings: Finding[];
}
