import type { Samples } from "./samples.ts";

/** What is known of a recording beside its samples. */
export interface RecordingFacts {
  /** "WAV", "WAV (float)", "FLAC", "MP3" (or "MP1", "MP2"), "Ogg Vorbis" or "Ogg Opus". */
  format: string;
  lossy: boolean;
  sampleRateHz: number;
  /** Bits per sample; null for lossy coding. */
  bits: number | null;
  /** What the reader had to forgive, as sentences for the user. */
  warnings: string[];
}

/** Decoded audio, before anything is measured. */
export interface Recording extends RecordingFacts {
  /** One array a channel, equal lengths, at least one sample, full scale = 1. Every sample is finite. */
  channels: Float32Array[];
}

/** A recording whose samples are decoded where they are wanted; at least one channel and one sample. */
export interface OpenRecording extends RecordingFacts, Samples {}

/** The bytes cannot be read as audio. The message is one sentence with what to do about it. */
export class UnreadableAudioError extends Error {
  override name = "UnreadableAudioError";
}
