import { decodeFlac } from "./flac.ts";
import { decodeMpeg } from "./mpeg.ts";
import { skipId3 } from "./mpeg-frames.ts";
import { nonFiniteWarning } from "./non-finite.ts";
import { decodeOgg } from "./ogg.ts";
import type { Recording } from "./recording.ts";
import { sniffPacked } from "./sniff.ts";

/**
 * Decodes a whole FLAC, MP3, Ogg Vorbis or Ogg Opus file. Samples that are no finite number become 0.
 *
 * @throws UnreadableAudioError, one sentence with what to do, for whatever none of these readers can read
 */
export async function decodePacked(bytes: Uint8Array): Promise<Recording> {
  const recording = await decodeByFormat(bytes);
  const replaced = silenceNonFinite(recording.channels);
  if (replaced > 0) recording.warnings.push(nonFiniteWarning(replaced));
  return recording;
}

function decodeByFormat(bytes: Uint8Array): Promise<Recording> {
  switch (sniffPacked(bytes)) {
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
