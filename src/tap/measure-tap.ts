import { version } from "../../package.json";
import {
  brightnessOf,
  expectedPartials,
  levelsDba,
  lossFactor,
  namePartials,
  type Profile,
  profileById,
  qualityFactor,
  strikeNoteOf,
} from "../bell/index.ts";
import { runFindings } from "../findings/index.ts";
import type { StrikeInfo, TapMeasurement, TapOptions, TapPartial } from "../measurement/index.ts";
import { fitModes, type Mode, type ModeFit, totalAmplitude } from "../partials/index.ts";
import { sustainOf } from "../strike/index.ts";
import { curvesOf } from "./curves.ts";
import { NotMeasurableError } from "./errors.ts";
import { departureNote, glideOf } from "./fit-report.ts";
import { type Grouped, groupPartials } from "./group-partials.ts";
import { otherLines } from "./other-lines.ts";
import { outlyingStrike, type PooledMode, poolStrikes } from "./pool-strikes.ts";
import { findAllStrikes, type StrikeAudio, strikeInfo, type TapInput } from "./strikes.ts";

/** Changes whenever the same audio would measure differently; saved measurements of another method are not reused. */
export const METHOD = "damped-lines/1";

/** Strikes with less than this over the noise are left out when there are better ones. */
const USEFUL_SNR_DB = 15;
/** Strikes that ring free for less than this part of the longest are left out. */
const USEFUL_LENGTH = 0.25;

interface MeasuredStrike {
  audio: StrikeAudio;
  fit: ModeFit;
}

/**
 * From decoded recordings of one casting to its measurement. Pure; the way of the data is that of docs/architecture.md.
 *
 * @param profile the ideal ratios; by default the profile that the options name
 * @throws NotMeasurableError when no recording holds a strike with a partial over the noise
 */
export function measureTap(
  inputs: TapInput[],
  options: TapOptions,
  profile: Profile = profileById(options.profile),
): TapMeasurement {
  const found = findAllStrikes(inputs);
  if (found.strikes.length === 0) {
    throw new NotMeasurableError(
      found.reasons[0] ?? "no strike was found; record one clear strike with a second of quiet before it",
    );
  }
  const { used, infos } = measureStrikes(found.strikes);
  if (used.length === 0) {
    throw new NotMeasurableError(
      "no partial stands over the noise; record closer to the bell, in a quiet place, and let it ring out",
    );
  }
  const best = used[0];
  const { ring } = best.audio;
  const pooled = poolStrikes(used.map((u) => u.fit.modes));
  if (pooled.length === 0) {
    throw new NotMeasurableError(
      "the strikes have no partial in common; give recordings of one bell only, struck alike",
    );
  }
  const modes = pooled.map((p) => p.mode);
  const grouped = groupPartials(modes);
  const named = namePartials(
    grouped.map((g) => ({
      frequencyHz: g.frequencyHz,
      levelDb: g.levelDb.value,
      decayTimeS: g.decayTimeS.value,
    })),
    profile,
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
  const strikeNote = strikeNoteOf(partials, options.a4Hz, profile.strikeHalfOf);
  const { interference, combinations } = otherLines(best.fit, modes, grouped, partials);
  const measured = {
    schema: "ringwright.tap/1" as const,
    tool: { name: "ringwright" as const, version, method: METHOD },
    options: { ...options, profile: profile.id },
    expectedPartials: expectedPartials(profile),
    recording: withWarnings(found.recordings[0], named.warnings),
    recordings: found.recordings.map((r, i) => (i === 0 ? withWarnings(r, named.warnings) : r)),
    strikes: infos,
    partials,
    interference,
    combinations,
    strikeNote,
    sustain: sustainOf(ring.channels, ring.sampleRateHz, ring.onsetSample, ring.endSample, best.audio.quiet),
    brightness: brightnessOf(partials, strikeNote?.frequencyHz ?? null),
    rimLaw: named.rimLaw,
    fit: {
      freeDecay: best.fit.freeDecay,
      note: departureNote(best.fit),
      glidePercent: glideOf(best.audio.ring, best.fit),
      startAfterContactS:
        (best.fit.startSample - best.audio.strike.onsetSample) / best.audio.ring.sampleRateHz,
      noiseFrom: best.fit.noiseFrom,
      medianChi: best.fit.medianChi,
      linesTried: best.fit.linesTried,
      linesKept: best.fit.modes.length,
      stopReason: best.fit.stopReason,
    },
    curves: curvesOf(
      best.audio,
      best.fit,
      grouped.map((g) => g.members.map((i) => amplitudesOfBest(modes[i], best.fit))),
    ),
  };
  return { ...measured, findings: runFindings(measured) };
}

/** Fits every strike worth it, the best first, and says of each why it was left out, in the order they were struck. */
function measureStrikes(strikes: StrikeAudio[]): { used: MeasuredStrike[]; infos: StrikeInfo[] } {
  const longest = Math.max(...strikes.map(usableS));
  const loudest = Math.max(...strikes.map((s) => s.strike.snrDb));
  const reasons = strikes.map((s): string | null => {
    if (strikes.length === 1) return null;
    if (s.strike.snrDb < USEFUL_SNR_DB && loudest >= USEFUL_SNR_DB) return "too quiet against the noise";
    if (usableS(s) < USEFUL_LENGTH * longest) return "rings free for too short a time";
    return null;
  });
  let measured = strikes.flatMap((audio, i) =>
    reasons[i] === null ? [{ i, audio, fit: fitModes(audio.ring) }] : [],
  );
  for (const m of measured) if (m.fit.modes.length === 0) reasons[m.i] = "no partial stands over the noise";
  measured = measured.filter((m) => m.fit.modes.length > 0);
  for (
    let out = outlyingStrike(measured.map((m) => m.fit.modes));
    out >= 0;
    out = outlyingStrike(measured.map((m) => m.fit.modes))
  ) {
    reasons[measured[out].i] = "its frequencies stand apart from those of the other strikes";
    measured.splice(out, 1);
  }
  const fits = new Map(measured.map((m) => [m.i, m.fit]));
  const infos = strikes
    .map((audio, i) =>
      strikeInfo(audio, fits.get(i)?.startSample ?? audio.strike.ringStartSample, reasons[i]),
    )
    .sort((a, b) => a.recording - b.recording || a.onsetS - b.onsetS);
  return { used: measured, infos };
}

function usableS(s: StrikeAudio): number {
  return (s.ring.endSample - s.strike.ringStartSample) / s.ring.sampleRateHz;
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
