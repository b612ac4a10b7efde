import type { ByteSource, OpenRecording } from "../audio/index.ts";
import type { Profile } from "../bell/index.ts";
import type { TapMeasurement, TapOptions } from "../measurement/index.ts";
import type { ExaminedRecording, FittedStrike, StrikePlace, TapInput } from "../tap/index.ts";
import { readReportScripts } from "./report-scripts.ts";

/** One recording under the name that results show. */
export interface NamedRecording {
  file: string;
  recording: OpenRecording;
}

/** Fits strikes somewhere else; null where that would not pay. */
export type FitElsewhere = (
  examined: ExaminedRecording[],
  places: StrikePlace[],
) => Promise<FittedStrike[] | null>;

/** Samples for a player: one array a channel, full scale = 1. */
export interface Sound {
  channels: Float32Array[];
  sampleRateHz: number;
  /** The stretch of the recording that this is, s, and the most that is carried, MiB; null or absent where it is whole. */
  cut?: { fromS: number; toS: number; mostMiB: number } | null;
}

/**
 * What the commands need of the pure folders. Each is loaded when first used, so that `--version` or an error in
 * the arguments never waits for a decoder, a fit or a chart.
 */
export interface Engine {
  /** @param mostHeldValues samples over all channels up to which a recording is kept in memory */
  openRecording(source: ByteSource, mostHeldValues?: number): Promise<OpenRecording>;
  /**
   * @param profile the ideal ratios; without it the built-in ones that the options name, null to have the kind recognised
   * @param elsewhere fits the strikes on other threads
   */
  measureTap(
    inputs: TapInput[],
    options: TapOptions,
    profile?: Profile | null,
    elsewhere?: FitElsewhere,
  ): Promise<TapMeasurement>;
  tapJson(measurement: TapMeasurement): Promise<string>;
  tapSummary(measurement: TapMeasurement, look: { colour: boolean; width: number | null }): Promise<string>;
  /** @param sound what the report plays, or null; @param generatedAt when it was made, in words */
  tapHtml(measurement: TapMeasurement, sound: Sound | null, generatedAt: string): Promise<string>;
}

export const lazyEngine: Engine = {
  openRecording: async (source, mostHeldValues) =>
    (await import("../audio/index.ts")).openRecording(source, mostHeldValues),
  async measureTap(inputs, options, profile, elsewhere) {
    const tap = await import("../tap/index.ts");
    if (elsewhere === undefined) return tap.measureTap(inputs, options, profile);
    const prepared = tap.prepareTap(inputs);
    const fits = (await elsewhere(prepared.examined, prepared.places)) ?? tap.fitStrikes(prepared);
    return tap.finishTap(prepared, fits, options, profile);
  },
  tapJson: async (measurement) => (await import("../measurement/index.ts")).writeTapJson(measurement),
  tapSummary: async (measurement, look) =>
    (await import("../report/tap/index.ts")).terminalSummary(measurement, look),
  async tapHtml(measurement, sound, generatedAt) {
    const { htmlReport } = await import("../report/tap/index.ts");
    const audio = sound && {
      recordingWav: (await import("../audio/index.ts")).encodeWav16(sound.channels, sound.sampleRateHz),
      cut: sound.cut ?? null,
    };
    return htmlReport(measurement, { ...(await readReportScripts()), audio, generatedAt });
  },
};
