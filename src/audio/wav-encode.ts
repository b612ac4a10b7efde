import { WAV_HEADER_BYTES, writeWavHeader } from "./wav-header.ts";

/**
 * A WAV file of 16-bit PCM, the inverse of the reader's scale: code = 32768 x, rounded, and held at the codes
 * -32768 and 32767 beyond full scale. A sample that is not a number is written as 0.
 *
 * @param channels one array a channel, equal lengths, full scale = 1
 * @throws RangeError for no channel, more channels or a higher rate than the header can say, or unequal lengths
 */
export function encodeWav16(channels: Float32Array[], sampleRateHz: number): Uint8Array<ArrayBuffer> {
  const channelCount = channels.length;
  if (channelCount < 1 || channelCount > 65535) throw new RangeError(`channel count ${channelCount}`);
  if (!Number.isInteger(sampleRateHz) || sampleRateHz < 1 || sampleRateHz >= 2 ** 32) {
    throw new RangeError(`sample rate ${sampleRateHz}`);
  }
  const samples = channels[0].length;
  if (channels.some((channel) => channel.length !== samples))
    throw new RangeError("channels of unequal length");
  const dataBytes = samples * channelCount * 2;
  if (dataBytes > 0xffffffff - WAV_HEADER_BYTES)
    throw new RangeError(`${samples} samples are too many for a WAV file`);

  const bytes = new Uint8Array(WAV_HEADER_BYTES + dataBytes);
  const view = new DataView(bytes.buffer);
  writeWavHeader(view, { coding: 1, channelCount, sampleRateHz, bits: 16, dataBytes });
  let offset = WAV_HEADER_BYTES;
  for (let i = 0; i < samples; i++) {
    for (let channel = 0; channel < channelCount; channel++) {
      const code = Math.round(channels[channel][i] * 32768);
      // setInt16 writes NaN as 0
      view.setInt16(offset, Math.max(-32768, Math.min(32767, code)), true);
      offset += 2;
    }
  }
  return bytes;
}
