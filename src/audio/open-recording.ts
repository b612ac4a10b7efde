import { type ByteSource, sourceOfBytes } from "./byte-source.ts";
import { decodePacked } from "./decode-packed.ts";
import { MOST_HELD_VALUES, MOST_PACKED_BYTES } from "./limits.ts";
import { type OpenRecording, type Recording, UnreadableAudioError } from "./recording.ts";
import { samplesOf } from "./samples.ts";
import { sniffPacked, startsWav } from "./sniff.ts";
import { openWav } from "./wav.ts";

const WAV_MARK_BYTES = 12;
/** More than any of the marks that formats begin with; the tags before some of them can be longer. */
const HEAD_BYTES = 4096;

/**
 * Opens a sound file: WAV (also RF64 and BW64), FLAC, MP3, Ogg Vorbis or Ogg Opus, told apart by the bytes themselves.
 * A WAV is read where its samples are wanted, however long it is; the packed formats, whose samples cannot be found
 * without decoding what comes before them, are decoded whole. Samples that are no finite number become 0. The decoders
 * of the packed formats are loaded when first needed; they use WebAssembly and no worker.
 *
 * @param mostHeldValues samples over all channels up to which a WAV is held in memory
 * @throws UnreadableAudioError, one sentence with what to do, for whatever cannot be read
 */
export async function openRecording(
  source: ByteSource,
  mostHeldValues = MOST_HELD_VALUES,
): Promise<OpenRecording> {
  const opened = startsWav(source.readAt(0, WAV_MARK_BYTES))
    ? openWav(source, mostHeldValues)
    : openDecoded(await decodeWhole(source));
  if (opened.sampleCount === 0) {
    throw new UnreadableAudioError("The file holds no sound: record it again.");
  }
  return opened;
}

/** A recording that is in memory already. */
export function openDecoded(recording: Recording): OpenRecording {
  const { channels, ...facts } = recording;
  return { ...facts, ...samplesOf(channels) };
}

/** Reads the bytes of a sound file whole; see `openRecording`. @throws UnreadableAudioError */
export async function decodeRecording(bytes: Uint8Array): Promise<Recording> {
  const { channelCount, sampleCount, read, held, ...facts } = await openRecording(
    sourceOfBytes(bytes),
    Number.POSITIVE_INFINITY,
  );
  return { ...facts, channels: held ?? read(0, sampleCount) };
}

async function decodeWhole(source: ByteSource): Promise<Recording> {
  if (source.byteLength > MOST_PACKED_BYTES) {
    // What is not read at all is named before it is called too long.
    sniffPacked(source.readAt(0, HEAD_BYTES));
    throw new UnreadableAudioError(
      `A packed sound file is read up to ${MOST_PACKED_BYTES / 2 ** 30} GiB: cut it to the strikes, or save it as WAV, which can be of any length.`,
    );
  }
  return decodePacked(source.readAt(0, source.byteLength));
}
