import { DEFAULT_PROFILE_ID } from "../../../src/bell/index.ts";
import type { TapMeasurement } from "../../../src/measurement/index.ts";
import { measureTap } from "../../../src/tap/index.ts";
import type { CastRecording, CastTruth, TrueLine } from "./cast.ts";

export interface CastVerdict {
  kind: string;
  place: string;
  seed: number;
  refused: string | null;
  mustSee: number;
  missed: { hz: number; levelDb: number; t60S: number; rho: number }[];
  strong: number;
  strongMissed: number;
  listed: number;
  /** Listed, and nothing that was put in, Hz. */
  ghosts: number[];
  /** Of a line that a swinging bell makes louder and softer: listed beside it, Hz. */
  sidebands: number[];
  /** Of listed lines that are clearly one true line: how many intervals hold it. */
  frequency: { held: number; of: number };
  decay: { held: number; of: number };
  names: { name: string; verdict: "right" | "wrong" | "withheld"; saidHz: number | null; isHz: number }[];
  note: { right: boolean; saidHz: number | null; isHz: number | null };
  freeDecay: boolean;
  attention: { id: string; title: string }[];
  /** Ids of findings that are notes. */
  noted: string[];
  /** What is wrong, from the truth. */
  faults: string[];
  /** Words of findings that are not good. */
  words: number;
}

/** Where nothing tells two lines apart: the linewidth, or what the length resolves. */
const reachHz = (line: TrueLine, lengthS: number): number =>
  Math.max(Math.log(1000) / line.t60S / Math.PI, 1 / lengthS);

const HALF_SEMITONE_CENTS = 50;

/** Measures a recording as `tap` does without options, and judges what comes. */
export function measureCast({ sampleRateHz, channel, truth }: CastRecording, seed: number): CastVerdict {
  const options = { label: "Invented", a4Hz: 440, profile: DEFAULT_PROFILE_ID, ridges: null, pins: {} };
  const recording = {
    format: "wav",
    lossy: false,
    sampleRateHz,
    channels: [channel],
    bits: 16,
    warnings: [],
  };
  try {
    return judgeCast(truth, measureTap([{ file: "bell.wav", recording }], options, null), seed, null);
  } catch (error) {
    if (!(error instanceof Error) || error.name !== "NotMeasurableError") throw error;
    return judgeCast(truth, null, seed, error.message);
  }
}

/** Holds a measurement against the truth; null is a refusal. */
export function judgeCast(
  truth: CastTruth,
  m: TapMeasurement | null,
  seed: number,
  refused: string | null,
): CastVerdict {
  const listed = (m?.partials ?? []).flatMap((p) => p.doublet?.members ?? [p]);
  const lengthS = truth.durationS - truth.onsetS;
  const isSeen = (line: TrueLine) =>
    listed.some((l) => Math.abs(l.frequencyHz.value - line.frequencyHz) <= reachHz(line, lengthS));
  const mustSee = truth.lines.filter((line) => line.mustSee);
  const missed = mustSee.filter((line) => !isSeen(line));
  const strays = listed
    .map((l) => l.frequencyHz.value)
    .filter(
      (f) =>
        truth.lines.every((line) => Math.abs(f - line.frequencyHz) > reachHz(line, lengthS)) &&
        truth.othersHz.every((other) => Math.abs(f - other) > Math.max(0.5, 1 / lengthS)),
    );
  const isSideband = (f: number) =>
    truth.swingHz > 0 &&
    truth.lines.some((line) =>
      [1, 2, 3].some(
        (k) => Math.abs(Math.abs(f - line.frequencyHz) - k * truth.swingHz) <= reachHz(line, lengthS),
      ),
    );
  return {
    kind: truth.kind,
    place: truth.place,
    seed,
    refused,
    mustSee: mustSee.length,
    missed: missed.map(({ frequencyHz, levelDb, t60S, rho }) => ({ hz: frequencyHz, levelDb, t60S, rho })),
    strong: mustSee.filter((line) => line.isStrong).length,
    strongMissed: missed.filter((line) => line.isStrong).length,
    listed: listed.length,
    ghosts: strays.filter((f) => !isSideband(f)),
    sidebands: strays.filter(isSideband),
    ...intervalsOf(truth, m, lengthS),
    names: namesOf(truth, m),
    note: noteOf(truth, m),
    freeDecay: m?.fit.freeDecay ?? false,
    attention: (m?.findings ?? [])
      .filter(({ outcome }) => outcome === "attention")
      .map(({ id, title }) => ({ id, title })),
    noted: (m?.findings ?? []).filter(({ outcome }) => outcome === "note").map(({ id }) => id),
    faults: truth.faults,
    words: (m?.findings ?? [])
      .filter(({ outcome }) => outcome !== "good")
      .reduce((sum, { title, text }) => sum + `${title} ${text}`.trim().split(/\s+/).length, 0),
  };
}

/** A listed line is clearly one where its nearest true line has no neighbour within three reaches that matters beside it. */
function intervalsOf(truth: CastTruth, m: TapMeasurement | null, lengthS: number) {
  const frequency = { held: 0, of: 0 };
  const decay = { held: 0, of: 0 };
  for (const line of truth.lines.filter((each) => each.mustSee)) {
    const reach = reachHz(line, lengthS);
    const isAlone = truth.lines.every(
      (other) =>
        other === line ||
        other.levelDb < line.levelDb - 40 ||
        Math.abs(other.frequencyHz - line.frequencyHz) > 3 * Math.max(reach, reachHz(other, lengthS)),
    );
    if (!isAlone) continue;
    const near = (m?.partials ?? [])
      .flatMap((p) => p.doublet?.members ?? [p])
      .filter((l) => Math.abs(l.frequencyHz.value - line.frequencyHz) <= reach);
    if (near.length !== 1) continue;
    const [{ frequencyHz, decayTimeS }] = near;
    frequency.of++;
    const above = frequencyHz.value - line.frequencyHz;
    const settlesHz = truth.sharp * line.frequencyHz;
    if (above >= -frequencyHz.ci95 && above <= frequencyHz.ci95 + settlesHz) frequency.held++;
    // A decay with an interval as wide as itself is withheld.
    if (decayTimeS.ci95 >= decayTimeS.value) continue;
    decay.of++;
    if (Math.abs(decayTimeS.value - line.t60S) <= decayTimeS.ci95) decay.held++;
  }
  return { frequency, decay };
}

/** Names of partials that must be seen, and every name said of anything else. */
function namesOf(truth: CastTruth, m: TapMeasurement | null): CastVerdict["names"] {
  const said = new Map(
    (m?.partials ?? []).flatMap((p) => (p.name === null ? [] : [[p.name, p.frequencyHz.value]])),
  );
  const known = new Map<string, TrueLine[]>();
  for (const line of truth.lines) {
    if (line.name !== null) known.set(line.name, [...(known.get(line.name) ?? []), line]);
  }
  const names: CastVerdict["names"] = [];
  for (const [name, members] of known) {
    const isHz = members.reduce((a, b) => (b.levelDb > a.levelDb ? b : a)).frequencyHz;
    const saidHz = said.get(name) ?? null;
    if (saidHz === null) {
      if (members.some((line) => line.mustSee)) names.push({ name, verdict: "withheld", saidHz, isHz });
      continue;
    }
    const isRight = members.some(
      (l) => Math.abs(saidHz - l.frequencyHz) < Math.max(1, 0.004 * l.frequencyHz),
    );
    names.push({ name, verdict: isRight ? "right" : "wrong", saidHz, isHz });
  }
  for (const [name, saidHz] of said) {
    // A bell of names, and one that none of its partials has; a bell without names is not judged.
    if (!known.has(name) && known.size > 0) names.push({ name, verdict: "wrong", saidHz, isHz: Number.NaN });
  }
  return names;
}

function noteOf(truth: CastTruth, m: TapMeasurement | null): CastVerdict["note"] {
  const saidHz = m?.strikeNote?.frequencyHz.value ?? null;
  const cents =
    saidHz === null || truth.noteHz === null ? Number.NaN : 1200 * Math.log2(saidHz / truth.noteHz);
  return { right: Math.abs(cents) <= HALF_SEMITONE_CENTS, saidHz, isHz: truth.noteHz };
}
