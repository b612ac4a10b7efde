import { UnreadableAudioError } from "./recording.ts";

interface Decoder {
  ready: Promise<void>;
  free(): void;
}

/**
 * Uses a decoder and frees it. What the decoder throws at a stream it trips over (errors and strings of its own)
 * becomes one sentence; that it could not be loaded is no fault of the file and stays the error it is.
 *
 * @throws UnreadableAudioError
 */
export async function withDecoder<D extends Decoder, T>(
  decoder: D,
  use: (decoder: D) => Promise<T>,
): Promise<T> {
  await decoder.ready;
  try {
    try {
      return await use(decoder);
    } finally {
      decoder.free();
    }
  } catch (error) {
    if (error instanceof UnreadableAudioError) throw error;
    throw new UnreadableAudioError(
      "The file is damaged so that its sound cannot be decoded: copy it again.",
      {
        cause: error,
      },
    );
  }
}
