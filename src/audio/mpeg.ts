import { secondsText } from "./bytes.ts";
import { checkLength, checkShape } from "./limits.ts";
import { findMpegStream } from "./mpeg-frames.ts";
import { type Recording, UnreadableAudioError } from "./recording.ts";
import { withDecoder } from "./with-decoder.ts";

/**
 * MP3 (and its elder layers I and II) through mpg123. Only the unbroken run of frames reaches the decoder, which
 * takes the encoder's own delay off where the encoder noted it.
 *
 * @throws UnreadableAudioError
 */
export async function decodeMpeg(bytes: Uint8Array): Promise<Recording> {
  const stream = findMpegStream(bytes);
  if (stream === null) {
    throw new UnreadableAudioError("The MP3 file holds no sound that can be read: copy or export it again.");
  }
  const { first, frameBytes, frameCount, promisedFrameCount, broken } = stream;
  const channelCount = first.mono ? 1 : 2;
  checkShape(channelCount, first.sampleRateHz);
  checkLength(frameCount * first.samples, channelCount);

  const { MPEGDecoder } = await import("mpg123-decoder");
  const decoded = await withDecoder(new MPEGDecoder(), async (decoder) => decoder.decode(frameBytes));
  // mpg123 hands a mono stream out twice
  const channels = decoded.channelData.slice(0, channelCount);
  // The frame that carries the note is not counted in it
  const lost = promisedFrameCount !== null && promisedFrameCount > frameCount;
  const end = secondsText(channels[0].length, first.sampleRateHz);
  return {
    format: `MP${first.layer}`,
    lossy: true,
    sampleRateHz: first.sampleRateHz,
    bits: null,
    channels,
    warnings:
      broken || lost
        ? [`The MP3 file is damaged or cut short after ${end}; only what comes before is used.`]
        : [],
  };
}
