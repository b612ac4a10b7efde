import { decodeFlac } from "./flac.ts";
import { decodeMpeg } from "./mpeg.ts";
import { skipId3 } from "./mpeg-frames.ts";
import { decodeOgg } from "./ogg.ts";
import { type Recording, UnreadableAudioError } from "./recording.ts";
import { type ReadableFormat, sniffFormat } from "./sniff.ts";
import { decodeWav } from "./wav.ts";

/**
 * Reads the bytes of a sound file: WAV (also RF64 and BW64), FLAC, MP3, Ogg Vorbis or Ogg Opus, told apart by the
 * bytes themselves. Samples that are no finite number become 0. The decoders of the packed formats are loaded when
 * first needed; they use WebAssembly and no worker.
 *
 * @throws UnreadableAudioError, one sentence with what to do, for whatever cannot be read
 */
export async function decodeRecording(bytes: Uint8Array): Promise<Recording> {
  const recording = await decodeByFormat(bytes, sniffFormat(bytes));
  if (recording.channels[0].length === 0) {
    throw new UnreadableAudioError("The file holds no sound: record it again.");
  }
  const replaced = silenceNonFinite(recording.channels);
  if (replaced > 0) {
    recording.warnings.push(
      replaced === 1
        ? "1 sample is not a finite number and was taken as 0."
        : `${replaced} samples are not finite numbers and were taken as 0.`,
    );
  }
  return recording;
}

function decodeByFormat(bytes: Uint8Array, format: ReadableFormat): Recording | Promise<Recording> {
  switch (format) {
    case "wav":
      return decodeWav(bytes);
    case "flac":
      return decodeFlac(bytes, skipId3(bytes));
    case "mpeg":
      return decodeMpeg(bytes);
    case "ogg":
      return decodeOgg(bytes);
  }
}

/** Puts 0 in the place of NaN and infinities; returns how many there were. */
function silenceNonFinite(channels: Float32Array[]): number {
  let replaced = 0;
  for (const channel of channels) {
    for (let i = 0; i < channel.length; i++) {
      if (!Number.isFinite(channel[i])) {
        channel[i] = 0;
        replaced++;
      }
    }
  }
  return replaced;
}
