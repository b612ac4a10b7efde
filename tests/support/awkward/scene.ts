import type { Recording } from "../../../src/audio/index.ts";
import type { TapMeasurement } from "../../../src/measurement/index.ts";
import type { BellTruth, Random } from "../synthetic/index.ts";

/** One invented recording of an invented bell. */
export interface AwkwardRecording {
  /** As a reader hands it over. */
  recording: Recording;
  /** What a perfect measurement of this file would find; samples and frequencies as the file counts them. */
  truth: BellTruth;
}

/** A way in which recordings go wrong. */
export interface Scene {
  id: string;
  title: string;
  /** What is done to the recording, in one sentence for the table. */
  done: string;
  /** Where the numbers of the model come from. */
  source: string;
  make(random: Random): AwkwardRecording | Promise<AwkwardRecording>;
  /** The finding that must speak. */
  says: string;
  /** Whether what must be said is said. */
  isSaid(said: Said): boolean;
  /** Whether it is at least named among several causes. */
  isHinted?(said: Said): boolean;
  /** Findings that may ask for attention here because they are true of this scene, beside what is said. */
  mayAlarm: string[];
}

/** The findings of a measurement, looked up by their id. */
export type Said = (id: string) => TapMeasurement["findings"][number] | undefined;
