/**
 * Invented measurements for tests: no such bell was cast, no such recording was made. The figures are plausible, not
 * measured: ratios near the tuned minor-third bell, loss factors of a few parts in ten thousand.
 */
import type { TapMeasurement } from "../../src/measurement/index.ts";
import {
  estimate,
  type PartialSpec,
  sampleMeasurement,
  sampleRecording,
  sampleStrike,
} from "./sample-parts.ts";

/** Loss factors around 2e-4 to 5e-4, rising smoothly; one small split; ratios a few cents off. */
export const SOUND_SPECS: PartialSpec[] = [
  { name: "hum", nodalMeridians: 2, frequencyHz: 261.2, lossFactor: 1.9e-4, levelDb: -8.1, idealRatio: 0.5 },
  {
    name: "prime",
    nodalMeridians: 2,
    frequencyHz: 521.4,
    lossFactor: 2.2e-4,
    levelDb: -5.4,
    idealRatio: 1,
    splitHz: 0.42,
    weakerDb: 4,
  },
  {
    name: "tierce",
    nodalMeridians: 3,
    frequencyHz: 618.9,
    lossFactor: 2.1e-4,
    levelDb: -2.2,
    idealRatio: 1.2,
  },
  {
    name: "quint",
    nodalMeridians: 3,
    frequencyHz: 786.2,
    lossFactor: 2.9e-4,
    levelDb: -14.9,
    idealRatio: 1.5,
  },
  { name: "nominal", nodalMeridians: 4, frequencyHz: 1046.8, lossFactor: 2.6e-4, levelDb: 0, idealRatio: 2 },
  { frequencyHz: 1391.6, lossFactor: 3.4e-4, levelDb: -24.3 },
  {
    name: "superquint",
    nodalMeridians: 5,
    frequencyHz: 1572.1,
    lossFactor: 3.3e-4,
    levelDb: -3.8,
    idealRatio: 3,
    splitHz: 0.9,
    weakerDb: 9,
  },
  {
    name: "octave nominal",
    nodalMeridians: 6,
    frequencyHz: 2171.5,
    lossFactor: 4.1e-4,
    levelDb: -7.7,
    idealRatio: 4,
  },
];

/** A tuned bell that rings as it should, struck twice in a quiet room. */
export function soundBell(over: Partial<TapMeasurement> = {}): TapMeasurement {
  const strikeHz = estimate(523.2, 0.06);
  return sampleMeasurement(SOUND_SPECS, {
    label: "Invented sound bell",
    interference: [{ frequencyHz: 100, levelDb: -61, kind: "mains", text: "2nd harmonic of 50 Hz mains" }],
    combinations: [{ frequencyHz: 2093.6, levelDb: -52, of: [4, 4], text: "second harmonic of nominal" }],
    strikeNote: {
      frequencyHz: strikeHz,
      note: "C5",
      cents: estimate(-0.2, 0.2),
      method: "virtual pitch of the upper partials",
      confidence: 0.86,
      candidates: [
        {
          frequencyHz: strikeHz,
          method: "virtual pitch of the upper partials",
          weight: 1,
          note: "C5",
          cents: estimate(-0.2, 0.2),
        },
        {
          frequencyHz: estimate(1046.8, 0.003),
          method: "dominant spectral pitch",
          weight: 0.41,
          note: "C6",
          cents: estimate(0.5, 0.005),
        },
      ],
    },
    sustain: {
      t60S: estimate(8.1, 0.3),
      edtS: estimate(4.6, 0.2),
      t20S: estimate(7.8, 0.3),
      t30S: estimate(8.3, 0.3),
      audibleS: estimate(9.4, 0.5),
    },
    brightness: {
      centroidHz: estimate(1204, 14),
      centroidRatio: estimate(1.15, 0.013),
      ratioTo: "nominal",
    },
    rimLaw: { c: 98.3, b: -0.72, p: 1.503, rmsCents: 8.4, partials: [0, 2, 4, 6, 7] },
    ...over,
  });
}

/** Tierce nearly dead, nominal split by 1.4 %, quint missing, a rattle: what a crack at the lip may do. */
export function crackedBell(over: Partial<TapMeasurement> = {}): TapMeasurement {
  const specs = SOUND_SPECS.filter((s) => s.name !== "quint").map((s): PartialSpec => {
    if (s.name === "tierce") return { ...s, lossFactor: 3.1e-3, levelDb: -9.5, rho: 900, relativeCi95: 0.06 };
    if (s.name === "nominal") return { ...s, splitHz: 14.6, weakerDb: 3 };
    return s;
  });
  return sampleMeasurement(specs, {
    label: "Invented cracked bell",
    strikes: [
      sampleStrike({ rattle: true }),
      sampleStrike({
        onsetS: 12.4,
        contactsS: [12.4, 12.428],
        fitStartS: 12.468,
        endS: 23.9,
        endedBy: "end of recording",
        rattle: true,
      }),
    ],
    ...over,
  });
}

/** A short phone recording in a loud room: one clipped, bounced, hand-damped strike and two unnamed partials. */
export function noisyRecording(over: Partial<TapMeasurement> = {}): TapMeasurement {
  const specs: PartialSpec[] = [
    { frequencyHz: 812.3, lossFactor: 8e-4, levelDb: 0, relativeCi95: 0.4, rho: 61 },
    { frequencyHz: 1689, lossFactor: 9e-4, levelDb: -6.1, relativeCi95: 0.6, rho: 24 },
  ];
  return sampleMeasurement(specs, {
    label: "Invented noisy recording",
    noiseDb: -18,
    recordings: [
      sampleRecording({
        file: "invented-noisy.ogg",
        format: "opus",
        lossy: true,
        channels: 2,
        bits: null,
        durationS: 1.9,
        clipped: true,
        clippedSamples: 212,
        dcOffset: 0.011,
        channelUse: "left and right fitted together",
        warnings: ["the file ends before the length its header gives; what is there was read"],
      }),
    ],
    strikes: [
      sampleStrike({
        onsetS: 0.31,
        contactsS: [0.31, 0.337],
        fitStartS: 0.377,
        endS: 1.12,
        endedBy: "hand damping",
        peakDbfs: 0,
        usedS: 0.743,
        snrDb: 12.6,
        clipped: true,
      }),
    ],
    interference: [
      { frequencyHz: 50, levelDb: -22, kind: "mains", text: "50 Hz mains" },
      { frequencyHz: 1000, levelDb: -15, kind: "steady tone", text: "steady tone, does not decay" },
      { frequencyHz: 3120, levelDb: -9, kind: "rod", text: "dies in 30 ms: the rod's own ring" },
    ],
    sustain: { t60S: null, edtS: estimate(0.9, 0.5), t20S: null, t30S: null, audibleS: estimate(0.7, 0.3) },
    fit: {
      freeDecay: false,
      note: "The level stands still for 0.2 s and the lines are smeared: this is not a sum of free decays.",
      glidePercent: estimate(-0.31, 0.12),
      startAfterContactS: 0.04,
      noiseFrom: "the residual",
      medianChi: 3.9,
      linesTried: 14,
      linesKept: 2,
      stopReason: "the limit of lines per band",
    },
    ...over,
  });
}

/** Nothing was found: no strike, no partial, everything that can be null is null. */
export function emptyMeasurement(over: Partial<TapMeasurement> = {}): TapMeasurement {
  return sampleMeasurement([], {
    label: "",
    recordings: [sampleRecording({ file: "-", durationS: 0.4 })],
    strikes: [],
    sustain: { t60S: null, edtS: null, t20S: null, t30S: null, audibleS: null },
    curves: { spectrum: { frequencyHz: [], levelDb: [], noiseDb: [] }, ringDowns: [] },
    fit: {
      freeDecay: true,
      note: null,
      glidePercent: null,
      startAfterContactS: 0.006,
      noiseFrom: "the residual",
      medianChi: 1,
      linesTried: 0,
      linesKept: 0,
      stopReason: "no line stands above the noise",
    },
    ...over,
  });
}
