import { hasText, secondsText, viewOf } from "./bytes.ts";
import { joinPieces } from "./join-pieces.ts";
import { checkLength, checkShape } from "./limits.ts";
import { readOggStream } from "./ogg-pages.ts";
import { type Recording, UnreadableAudioError } from "./recording.ts";
import { withDecoder } from "./with-decoder.ts";

/** What the Vorbis and the Opus decoder have in common. */
interface PageDecoder {
  ready: Promise<void>;
  /** Both answer with a promise, whatever the Opus decoder's own types say. */
  decode(page: Uint8Array): Decoded | Promise<Decoded>;
  flush(): Promise<Decoded>;
  free(): void;
}

interface Decoded {
  channelData: Float32Array[];
  errors: unknown[];
}

interface OggCodec {
  format: string;
  channelCount: number;
  sampleRateHz: number;
  /** Samples at the start of the stream that the decoder takes away. */
  skippedSamples: number;
  load(): Promise<PageDecoder>;
}

/** Opus is decoded at this rate whatever the recorder ran at (RFC 7845 section 4). */
const OPUS_RATE_HZ = 48000;

/**
 * Ogg Vorbis and Ogg Opus. Only pages proved by their check sums reach the decoder, and the recording ends before
 * the first one that is not.
 *
 * @throws UnreadableAudioError
 */
export async function decodeOgg(bytes: Uint8Array): Promise<Recording> {
  const stream = readOggStream(bytes);
  if (stream === null) {
    throw new UnreadableAudioError(
      "The Ogg file ends inside its header or its header is damaged: copy it again.",
    );
  }
  const codec = identifyCodec(stream.identification);
  const { format, channelCount, sampleRateHz } = codec;
  checkShape(channelCount, sampleRateHz);

  const { pieces, stopped } = await withDecoder(await codec.load(), (decoder) =>
    decodePages(decoder, stream.pages, channelCount),
  );
  let channels = joinPieces(pieces);
  if (channels.length === 0) {
    throw new UnreadableAudioError(
      `No sound can be read from the ${format} file, which is damaged or cut short: copy it again.`,
    );
  }
  const broken = stream.broken || stopped;
  if (!broken && stream.endPosition !== null) {
    // What lies behind the position of the last page only fills the encoder's last packet
    const length = Math.max(0, stream.endPosition - codec.skippedSamples);
    channels = channels.map((channel) => channel.subarray(0, length));
  }
  const end = secondsText(channels[0].length, sampleRateHz);
  const warnings = broken
    ? [`The ${format} file is damaged or cut short after ${end}; only what comes before is used.`]
    : [];
  return { format, lossy: true, sampleRateHz, bits: null, channels, warnings };
}

/** RFC 7845 section 5.1, Vorbis I specification section 4.2.2. */
function identifyCodec(identification: Uint8Array): OggCodec {
  const view = viewOf(identification);
  if (hasText(identification, 0, "\x01vorbis") && identification.length >= 30) {
    return {
      format: "Ogg Vorbis",
      channelCount: identification[11],
      sampleRateHz: view.getUint32(12, true),
      skippedSamples: 0,
      load: async () => {
        const { OggVorbisDecoder } = await import("@wasm-audio-decoders/ogg-vorbis");
        return new OggVorbisDecoder();
      },
    };
  }
  if (hasText(identification, 0, "OpusHead") && identification.length >= 19) {
    return {
      format: "Ogg Opus",
      channelCount: identification[9],
      sampleRateHz: OPUS_RATE_HZ,
      skippedSamples: view.getUint16(10, true),
      load: async () => {
        const { OggOpusDecoder } = await import("ogg-opus-decoder");
        return new OggOpusDecoder();
      },
    };
  }
  throw new UnreadableAudioError(
    "The Ogg file holds neither Vorbis nor Opus sound (it may be a video, Speex or FLAC in Ogg): export the recording as WAV or FLAC and try again.",
  );
}

/** Page by page, so that a small file that claims to be days long is refused before it fills the memory. */
async function decodePages(
  decoder: PageDecoder,
  pages: Uint8Array[],
  channelCount: number,
): Promise<{ pieces: Float32Array[][]; stopped: boolean }> {
  const pieces: Float32Array[][] = [];
  let samples = 0;
  for (let i = 0; i <= pages.length; i++) {
    const decoded = i < pages.length ? await decoder.decode(pages[i]) : await decoder.flush();
    if (decoded.errors.length > 0) return { pieces, stopped: true };
    if (decoded.channelData.length !== channelCount || decoded.channelData[0].length === 0) continue;
    pieces.push(decoded.channelData);
    samples += decoded.channelData[0].length;
    checkLength(samples, channelCount);
  }
  return { pieces, stopped: false };
}
