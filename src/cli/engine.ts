import type { Recording } from "../audio/index.ts";
import type { Profile } from "../bell/index.ts";
import type { TapMeasurement, TapOptions } from "../measurement/index.ts";
import { readReportScripts } from "./report-scripts.ts";

/** One decoded recording under the name that results show. */
export interface NamedRecording {
  file: string;
  recording: Recording;
}

/** Samples for a player: one array a channel, full scale = 1. */
export interface Sound {
  channels: Float32Array[];
  sampleRateHz: number;
}

/**
 * What the commands need of the pure folders. Each is loaded when first used, so that `--version` or an error in
 * the arguments never waits for a decoder, a fit or a chart.
 */
export interface Engine {
  decodeRecording(bytes: Uint8Array): Promise<Recording>;
  /** @param profile the ideal ratios; without it the built-in ones that the options name */
  measureTap(inputs: NamedRecording[], options: TapOptions, profile?: Profile): Promise<TapMeasurement>;
  tapJson(measurement: TapMeasurement): Promise<string>;
  tapSummary(measurement: TapMeasurement, look: { colour: boolean; width: number | null }): Promise<string>;
  /** @param sound what the report plays, or null; @param generatedAt when it was made, in words */
  tapHtml(measurement: TapMeasurement, sound: Sound | null, generatedAt: string): Promise<string>;
}

export const lazyEngine: Engine = {
  decodeRecording: async (bytes) => (await import("../audio/index.ts")).decodeRecording(bytes),
  measureTap: async (inputs, options, profile) =>
    (await import("../tap/index.ts")).measureTap(inputs, options, profile),
  tapJson: async (measurement) => (await import("../measurement/index.ts")).writeTapJson(measurement),
  tapSummary: async (measurement, look) =>
    (await import("../report/tap/index.ts")).terminalSummary(measurement, look),
  async tapHtml(measurement, sound, generatedAt) {
    const { htmlReport } = await import("../report/tap/index.ts");
    const audio = sound && {
      recordingWav: (await import("../audio/index.ts")).encodeWav16(sound.channels, sound.sampleRateHz),
    };
    return htmlReport(measurement, { ...(await readReportScripts()), audio, generatedAt });
  },
};
