import { viewOf } from "./bytes.ts";
import { UnreadableAudioError } from "./recording.ts";
import codingNames from "./wav-coding-names.json" with { type: "json" };

export interface WavFormat {
  coding: "pcm" | "float";
  channelCount: number;
  sampleRateHz: number;
  /** Bits that mean something; they stand at the top of `bytesPerValue` bytes. */
  bits: number;
  bytesPerValue: number;
  /** False where the header's block size contradicts its bits and channels. */
  consistent: boolean;
}

const PCM = 0x0001;
const FLOAT = 0x0003;
const EXTENSIBLE = 0xfffe;
const MIN_BYTES = 16;
/** Up to the first two bytes of the sub-format's GUID, which are the coding. */
const MIN_EXTENSIBLE_BYTES = 26;

/** More of a format chunk than this says nothing that is read. */
export const MOST_FORMAT_BYTES = 64;

/**
 * Reads the body of the format chunk: WAVEFORMATEX and WAVEFORMATEXTENSIBLE of mmreg.h.
 *
 * @throws UnreadableAudioError for codings other than PCM and float, and for sizes that cannot be
 */
export function readWavFormat(chunk: Uint8Array): WavFormat {
  const view = viewOf(chunk);
  if (view.byteLength < MIN_BYTES) {
    throw new UnreadableAudioError("The WAV file's format chunk is cut short: copy the file again.");
  }
  let code = view.getUint16(0, true);
  const channelCount = view.getUint16(2, true);
  const sampleRateHz = view.getUint32(4, true);
  const byteRate = view.getUint32(8, true);
  const blockBytes = view.getUint16(12, true);
  let bits = view.getUint16(14, true);
  let validBits = bits;
  if (code === EXTENSIBLE) {
    if (view.byteLength < MIN_EXTENSIBLE_BYTES) {
      throw new UnreadableAudioError("The WAV file's format chunk is cut short: copy the file again.");
    }
    validBits = view.getUint16(18, true);
    code = view.getUint16(24, true);
  }
  if (code !== PCM && code !== FLOAT) {
    const names: Record<string, string | undefined> = codingNames.names;
    const name = names[code] ?? `a coding with the number ${code}`;
    throw new UnreadableAudioError(
      `The WAV file holds ${name}, which is not read here: save the recording as PCM with 16 or 24 bits and try again.`,
    );
  }
  const coding = code === PCM ? "pcm" : "float";

  // Where block size and bits disagree, the byte rate is the second witness
  const byBlock = channelCount > 0 ? blockBytes / channelCount : 0;
  const byBits = Math.ceil(bits / 8);
  const trustsBlock = bits === 0 || byteRate === sampleRateHz * blockBytes;
  const bytesPerValue = byBlock >= byBits && canRead(coding, byBlock) && trustsBlock ? byBlock : byBits;
  if (!canRead(coding, bytesPerValue)) {
    throw new UnreadableAudioError(
      `The WAV file says it has ${bits} bits per sample, which cannot be read: save the recording as PCM with 16 or 24 bits and try again.`,
    );
  }
  if (bits === 0 || coding === "float") bits = bytesPerValue * 8;
  else if (validBits > 0 && validBits < bits) bits = validBits;
  return { coding, channelCount, sampleRateHz, bits, bytesPerValue, consistent: byBlock === bytesPerValue };
}

function canRead(coding: "pcm" | "float", bytesPerValue: number): boolean {
  return (coding === "pcm" ? [1, 2, 3, 4] : [4, 8]).includes(bytesPerValue);
}
