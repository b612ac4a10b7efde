/** Parts of the invented measurements of sample-measurement.ts. */
import { runFindings } from "../../src/findings/index.ts";
import type {
  Doublet,
  DoubletMember,
  Estimate,
  ExpectedPartial,
  RecordingInfo,
  StrikeInfo,
  TapMeasurement,
  TapPartial,
} from "../../src/measurement/index.ts";
import { sampleRingDowns, sampleSpectrum } from "./sample-curves.ts";

/** T60 = ln(1000) / alpha. */
const LN_1000 = Math.log(1000);

export const estimate = (value: number, ci95: number): Estimate => ({ value, ci95 });

/** What a sample partial is made from; the rest follows. */
export interface PartialSpec {
  name?: string | null;
  nameConfidence?: number | null;
  nodalMeridians?: number | null;
  frequencyHz: number;
  /** 1/Q; the 60 dB time follows. */
  lossFactor: number;
  levelDb: number;
  idealRatio?: number | null;
  /** A pair this far apart, the upper member this much weaker. */
  splitHz?: number;
  weakerDb?: number;
  /** Relative 95 % half-width of the decay; the frequency gets the matching one. */
  relativeCi95?: number;
  rho?: number;
}

/** The just tuned minor-third bell, to the prime (Fletcher & Rossing, ch. 21, from memory); presence invented. */
export const MINOR_THIRD_PARTIALS: ExpectedPartial[] = [
  { name: "hum", idealRatio: 0.5, nodalMeridians: 2, presence: 0.9 },
  { name: "prime", idealRatio: 1, nodalMeridians: 2, presence: 0.8 },
  { name: "tierce", idealRatio: 1.2, nodalMeridians: 3, presence: 0.9 },
  { name: "quint", idealRatio: 1.5, nodalMeridians: 3, presence: 0.6 },
  { name: "nominal", idealRatio: 2, nodalMeridians: 4, presence: 0.95 },
  { name: "superquint", idealRatio: 3, nodalMeridians: 5, presence: 0.85 },
  { name: "octave nominal", idealRatio: 4, nodalMeridians: 6, presence: 0.8 },
];

/** One partial; ratios are to `referenceHz`. */
export function samplePartial(spec: PartialSpec, referenceHz: number): TapPartial {
  const { frequencyHz: f, lossFactor, relativeCi95: rel = 0.02 } = spec;
  const decayTimeS = LN_1000 / (Math.PI * f * lossFactor);
  // Frequency and decay rate carry the same error in radians per second: sd(f) = sd(alpha) / 2 pi.
  const frequencyCi95 = (rel * lossFactor * f) / 2;
  const ratio = f / referenceHz;
  const idealRatio = spec.idealRatio ?? null;
  const member = (offsetHz: number, levelDb: number, phaseRad: number): DoubletMember => ({
    frequencyHz: estimate(f + offsetHz, 2 * frequencyCi95),
    decayTimeS: estimate(decayTimeS, 2 * rel * decayTimeS),
    levelDb: estimate(levelDb, 0.4),
    phaseRad: estimate(phaseRad, 0.05),
  });
  const weakerDb = spec.weakerDb ?? 6;
  const sum = 1 + 10 ** (-weakerDb / 20);
  const difference = Math.abs(1 - 10 ** (-weakerDb / 20));
  const doublet: Doublet | null =
    spec.splitHz === undefined
      ? null
      : {
          members: [
            member(-spec.splitHz * 0.2, spec.levelDb - 1, 0.4),
            member(spec.splitHz * 0.8, spec.levelDb - 1 - weakerDb, -0.9),
          ],
          splitHz: estimate(spec.splitHz, 3 * frequencyCi95),
          beatDepthDb: 20 * Math.log10(sum / Math.max(difference, 0.01)),
        };
  return {
    name: spec.name ?? null,
    nameConfidence: spec.name ? (spec.nameConfidence ?? 0.95) : null,
    nodalMeridians: spec.nodalMeridians ?? null,
    frequencyHz: estimate(f, frequencyCi95),
    decayTimeS: estimate(decayTimeS, rel * decayTimeS),
    levelDb: estimate(spec.levelDb, 0.3),
    phaseRad: estimate(0.4, 0.03),
    q: estimate(1 / lossFactor, rel / lossFactor),
    lossFactor: estimate(lossFactor, rel * lossFactor),
    levelDba: spec.levelDb - (f < 500 ? 5 : 0),
    ratio: estimate(ratio, f === referenceHz ? 0 : (ratio * frequencyCi95) / f),
    idealRatio,
    deviationCents:
      idealRatio === null
        ? null
        : estimate(1200 * Math.log2(ratio / idealRatio), (1200 / Math.LN2) * (frequencyCi95 / f)),
    doublet,
    strikeSpreadHz: frequencyCi95 / 4,
    strikeSpreadS: (rel * decayTimeS) / 4,
    rho: spec.rho ?? 8000,
    seenIn: ["later stretch", "other strike"],
  };
}

export const sampleRecording = (over: Partial<RecordingInfo> = {}): RecordingInfo => ({
  file: "invented-sample.wav",
  format: "wav",
  lossy: false,
  sampleRateHz: 48000,
  channels: 1,
  bits: 24,
  durationS: 24,
  clipped: false,
  clippedSamples: 0,
  dcOffset: 0.0004,
  channelUse: "the only channel",
  warnings: [],
  ...over,
});

export const sampleStrike = (over: Partial<StrikeInfo> = {}): StrikeInfo => ({
  recording: 0,
  onsetS: 0.812,
  contactsS: [0.812],
  fitStartS: 0.818,
  endS: 12.31,
  endedBy: "next strike",
  peakDbfs: -6.2,
  usedS: 11.492,
  snrDb: 58.4,
  clipped: false,
  rattle: false,
  leftOut: null,
  ...over,
});

/** Puts a measurement together from its partials, its findings with it; `over` replaces whole fields. */
export function sampleMeasurement(
  specs: PartialSpec[],
  over: Partial<TapMeasurement> & { noiseDb?: number; label?: string } = {},
): TapMeasurement {
  const { noiseDb = -70, label = "Invented sample", ...fields } = over;
  const reference = specs.find((s) => s.name === "prime") ?? specs[0];
  const partials = specs.map((spec) => samplePartial(spec, reference?.frequencyHz ?? 1));
  const recordings = fields.recordings ?? [sampleRecording()];
  const strikes = fields.strikes ?? [
    sampleStrike(),
    sampleStrike({
      onsetS: 12.4,
      contactsS: [12.4],
      fitStartS: 12.406,
      endS: 23.9,
      endedBy: "end of recording",
    }),
  ];
  const strongest = partials.reduce<TapPartial | null>(
    (best, p) => (best === null || p.levelDb.value > best.levelDb.value ? p : best),
    null,
  );
  const t60S = strongest?.decayTimeS ?? null;
  const measured: Omit<TapMeasurement, "findings"> = {
    schema: "ringwright.tap/1",
    tool: { name: "ringwright", version: "0.1.0", method: "sample" },
    options: { label, a4Hz: 440, profile: "minor-third", ridges: null, pins: {} },
    expectedPartials: MINOR_THIRD_PARTIALS,
    recording: recordings[0] ?? sampleRecording(),
    recordings,
    strikes,
    partials,
    interference: [],
    combinations: [],
    strikeNote: null,
    sustain: { t60S, edtS: null, t20S: t60S, t30S: t60S, audibleS: t60S },
    brightness: null,
    rimLaw: null,
    fit: {
      freeDecay: true,
      note: null,
      glidePercent: null,
      startAfterContactS: 0.006,
      noiseFrom: "before the strike",
      medianChi: 1.06,
      linesTried: specs.length + 6,
      linesKept: partials.reduce((sum, p) => sum + (p.doublet?.members.length ?? 1), 0),
      stopReason: "nothing further stands above the noise",
    },
    curves: {
      spectrum: sampleSpectrum(partials, noiseDb),
      ringDowns: sampleRingDowns(partials, 10, noiseDb),
    },
    ...fields,
  };
  return { ...measured, findings: fields.findings ?? runFindings(measured) };
}
