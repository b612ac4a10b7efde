import { version } from "../../package.json";
import { type OpenRecording, openDecoded, type Recording } from "../audio/index.ts";
import {
  brightnessOf,
  expectedPartials,
  levelsDba,
  lossFactor,
  type NamedPartial,
  nameKind,
  type Profile,
  profileById,
  qualityFactor,
  strikeNoteOf,
} from "../bell/index.ts";
import { runFindings, withholdDecays } from "../findings/index.ts";
import type { TapMeasurement, TapOptions, TapPartial } from "../measurement/index.ts";
import { type Mode, type ModeFit, totalAmplitude } from "../partials/index.ts";
import { sustainOf } from "../strike/index.ts";
import {
  type ChosenStrikes,
  chooseStrikes,
  type FittedStrike,
  type StrikePlace,
  strikesToFit,
} from "./choose-strikes.ts";
import { curvesOf } from "./curves.ts";
import { NotMeasurableError } from "./errors.ts";
import { type ExaminedRecording, examineRecording } from "./examine.ts";
import { departureNote, glideOf, noisePassedOf, otherSoundOf } from "./fit-report.ts";
import { type Grouped, groupPartials } from "./group-partials.ts";
import { otherLines } from "./other-lines.ts";
import { type PooledMode, poolStrikes } from "./pool-strikes.ts";
import { fitStrike, type StrikeAudio, strikeAudio } from "./strike-audio.ts";

/** Changes whenever the same audio would measure differently; saved measurements of another method are not reused. */
export const METHOD = "damped-lines/9";

/** One recording as it comes: in memory, or opened and read where it is wanted. */
export interface TapInput {
  file: string;
  recording: Recording | OpenRecording;
}

/** Recordings opened and looked through, and which of their strikes are to be fitted. */
export interface PreparedTap {
  opened: OpenRecording[];
  examined: ExaminedRecording[];
  places: StrikePlace[];
}

/**
 * From recordings of one casting to its measurement. Pure; the way of the data is that of docs/architecture.md. Three
 * steps, so that the second, which takes the time, can be done elsewhere: `prepareTap`, `fitStrikes`, `finishTap`.
 *
 * @param profile the ideal ratios; by default the profile that the options name; null to have the kind recognised
 * @throws NotMeasurableError when no recording holds a strike with a partial over the noise
 */
export function measureTap(
  inputs: TapInput[],
  options: TapOptions,
  profile?: Profile | null,
): TapMeasurement {
  const prepared = prepareTap(inputs);
  return finishTap(prepared, fitStrikes(prepared), options, profile);
}

/** Finds the strikes. @throws NotMeasurableError where there are none */
export function prepareTap(inputs: TapInput[]): PreparedTap {
  const opened = inputs.map(({ recording }) =>
    "channels" in recording ? openDecoded(recording) : recording,
  );
  const examined = inputs.map(({ file }, i) => examineRecording(file, opened[i]));
  return { opened, examined, places: strikesToFit(examined) };
}

/** Fits the strikes, one after the other; only the stretch of one is in memory. */
export function fitStrikes({ opened, examined, places }: PreparedTap): FittedStrike[] {
  return places.map((place) => ({
    ...place,
    fit: fitStrike(opened[place.recording], examined[place.recording], place.strike),
  }));
}

/** Makes the measurement of what was fitted. @throws NotMeasurableError where the strikes show no partial, or none together */
export function finishTap(
  { opened, examined }: PreparedTap,
  fits: FittedStrike[],
  options: TapOptions,
  profile?: Profile | null,
): TapMeasurement {
  const chosen = chooseStrikes(examined, fits);
  const { recording, strike } = chosen.used[0];
  const best = strikeAudio(opened[recording], examined[recording], strike);
  return assembleTap(examined, chosen, best, options, profile);
}

/**
 * From the fits of the strikes to the measurement: pools them, joins doublets, names the partials, says what it means.
 *
 * @param best the sound of the first of the chosen strikes
 * @throws NotMeasurableError when the strikes have no partial in common
 */
export function assembleTap(
  examined: ExaminedRecording[],
  chosen: ChosenStrikes,
  audio: StrikeAudio,
  options: TapOptions,
  given: Profile | null = profileById(options.profile),
): TapMeasurement {
  const { used, infos } = chosen;
  const { ring, firstSample } = audio;
  const best = used[0];
  const onsetSample = ring.onsetSample + firstSample;
  const recordings = examined.map(({ info }) => info);
  const pooled = poolStrikes(used.map((u) => u.fit.modes));
  if (pooled.length === 0) {
    throw new NotMeasurableError(
      "the strikes have no partial in common; give recordings of one bell only, struck alike",
    );
  }
  const modes = pooled.map((p) => p.mode);
  const recordS = (ring.endSample + firstSample - best.fit.startSample) / ring.sampleRateHz;
  const grouped = groupPartials(modes, recordS);
  const { profile, kind, named } = nameKind(
    grouped.map((g) => ({
      frequencyHz: g.frequencyHz,
      levelDb: g.levelDb.value,
      decayTimeS: g.decayTimeS.value,
    })),
    given,
    options.pins,
  );
  const dba = levelsDba(grouped);
  const partials = grouped.map(
    (g, i): TapPartial => ({
      name: named.partials[i].name,
      nameConfidence: named.partials[i].name === null ? null : named.partials[i].confidence,
      nodalMeridians: named.partials[i].nodalMeridians,
      frequencyHz: g.frequencyHz,
      decayTimeS: g.decayTimeS,
      levelDb: g.levelDb,
      phaseRad: g.phaseRad,
      q: qualityFactor(g.frequencyHz, g.decayTimeS),
      lossFactor: lossFactor(g.frequencyHz, g.decayTimeS),
      levelDba: dba[i],
      ratio: named.partials[i].ratio,
      idealRatio: named.partials[i].idealRatio,
      deviationCents: named.partials[i].deviationCents,
      doublet: g.doublet,
      ...spreadOf(g, pooled),
      rho: g.rho,
      seenIn: g.seenIn,
    }),
  );
  const strikeNote = strikeNoteOf(
    partials.map((partial, i) => ({ ...partial, ...likelyName(named.partials[i]) })),
    options.a4Hz,
    profile,
  );
  const { interference, combinations } = otherLines(best.fit, modes, grouped, partials);
  const measured = {
    schema: "ringwright.tap/1" as const,
    tool: { name: "ringwright" as const, version, method: METHOD },
    options: { ...options, profile: profile.id },
    kind,
    expectedPartials: expectedPartials(profile),
    recording: withWarnings(recordings[0], named.warnings),
    recordings: recordings.map((r, i) => (i === 0 ? withWarnings(r, named.warnings) : r)),
    strikes: infos,
    partials,
    interference,
    combinations,
    strikeNote,
    sustain: sustainOf(ring.channels, ring.sampleRateHz, ring.onsetSample, ring.endSample, audio.quiet),
    brightness: brightnessOf(partials, strikeNote?.frequencyHz ?? null),
    rimLaw: named.rimLaw,
    fit: {
      freeDecay: best.fit.freeDecay,
      note: departureNote(best.fit),
      glidePercent: glideOf(ring, best.fit),
      noisePassedDb: noisePassedOf(best.fit),
      otherSoundS: otherSoundOf(best.fit),
      startAfterContactS: (best.fit.startSample - onsetSample) / ring.sampleRateHz,
      noiseFrom: best.fit.noiseFrom,
      medianChi: best.fit.medianChi,
      linesTried: best.fit.linesTried,
      linesKept: best.fit.modes.length,
      stopReason: best.fit.stopReason,
    },
    curves: curvesOf(
      audio,
      best.fit,
      grouped.map((g) => g.members.map((i) => amplitudesOfBest(modes[i], best.fit))),
    ),
  };
  const told = withholdDecays(measured);
  return { ...told, findings: runFindings(told) };
}

/** The strike note rests on names that are likelier than not; how likely, its confidence says. */
const LIKELIER_THAN_NOT = 0.5;

function likelyName({ likeliest, confidence }: NamedPartial): {
  name: string | null;
  nameConfidence: number;
} {
  return { name: confidence >= LIKELIER_THAN_NOT ? likeliest : null, nameConfidence: confidence };
}

/** Spread between strikes of a partial: that of its strongest member. */
function spreadOf(
  g: Grouped,
  pooled: PooledMode[],
): { strikeSpreadHz: number | null; strikeSpreadS: number | null } {
  const strongest = g.members.reduce((a, b) =>
    totalAmplitude(pooled[b].mode) > totalAmplitude(pooled[a].mode) ? b : a,
  );
  const { mode, spreadHz, spreadPerS } = pooled[strongest];
  return {
    strikeSpreadHz: spreadHz,
    strikeSpreadS: spreadPerS === null ? null : (Math.log(1000) * spreadPerS) / mode.decayRatePerS ** 2,
  };
}

/** The pooled mode keeps the best strike's amplitudes, so the curves of that strike are drawn from its own modes. */
function amplitudesOfBest(mode: Mode, fit: ModeFit): Mode {
  return fit.modes.find((m) => m.amplitude === mode.amplitude) ?? mode;
}

function withWarnings<T extends { warnings: string[] }>(recording: T, more: string[]): T {
  return more.length ? { ...recording, warnings: [...recording.warnings, ...more] } : recording;
}
