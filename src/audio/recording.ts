/** Decoded audio, before anything is measured. */
export interface Recording {
  /** "WAV", "WAV (float)", "FLAC", "MP3" (or "MP1", "MP2"), "Ogg Vorbis" or "Ogg Opus". */
  format: string;
  lossy: boolean;
  sampleRateHz: number;
  /** Bits per sample; null for lossy coding. */
  bits: number | null;
  /** One array a channel, equal lengths, at least one sample, full scale = 1. Every sample is finite. */
  channels: Float32Array[];
  /** What the reader had to forgive, as sentences for the user. */
  warnings: string[];
}

/** The bytes cannot be read as audio. The message is one sentence with what to do about it. */
export class UnreadableAudioError extends Error {
  override name = "UnreadableAudioError";
}
