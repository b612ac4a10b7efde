import { UnreadableAudioError } from "./recording.ts";

/** What the measurements behind the reader can work with. */
export const MIN_SAMPLE_RATE_HZ = 8000;
export const MAX_SAMPLE_RATE_HZ = 192000;
export const MAX_CHANNELS = 8;

/**
 * Samples over all channels up to which a WAV is decoded at once and held: 64 MiB as float32, a minute and a half of
 * stereo at 96 kHz. Of a longer one only what is being looked at is in memory.
 */
export const MOST_HELD_VALUES = 2 ** 24;

/** The largest file of a packed format, which is in memory as a whole while it is decoded. */
export const MOST_PACKED_BYTES = 2 ** 30;

/**
 * Of a packed format, samples over all channels: 1 GiB as float32, three quarters of an hour in stereo at 48 kHz. A few kilobytes
 * of a packed format can stand for hours of silence, so the packed size alone does not bound the memory.
 */
export const MAX_VALUES = 2 ** 28;

/**
 * Refuses what the header (or the decoder) says when the measurements could not use it.
 *
 * @throws UnreadableAudioError
 */
export function checkShape(channelCount: number, sampleRateHz: number): void {
  if (!(channelCount >= 1 && channelCount <= MAX_CHANNELS)) {
    throw new UnreadableAudioError(
      `The file says it has ${channelCount} channels, and 1 to ${MAX_CHANNELS} can be read: save the recording again as mono or stereo.`,
    );
  }
  if (!(sampleRateHz >= MIN_SAMPLE_RATE_HZ && sampleRateHz <= MAX_SAMPLE_RATE_HZ)) {
    throw new UnreadableAudioError(
      `The file gives a sample rate of ${sampleRateHz} Hz, and ${MIN_SAMPLE_RATE_HZ} to ${MAX_SAMPLE_RATE_HZ} Hz can be read: save the recording again at 44100 or 48000 Hz.`,
    );
  }
}

/**
 * Refuses a recording too long to hold in memory.
 *
 * @throws UnreadableAudioError
 */
export function checkLength(samples: number, channelCount: number): void {
  if (samples * channelCount > MAX_VALUES) {
    throw new UnreadableAudioError(
      "The recording is too long to be unpacked at once: cut it to the strikes with a minute around them, or save it as WAV, which can be of any length.",
    );
  }
}
