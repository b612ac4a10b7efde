export const WAV_HEADER_BYTES = 44;

export interface WavHeader {
  /** 1 for integer PCM, 3 for float. */
  coding: 1 | 3;
  channelCount: number;
  sampleRateHz: number;
  bits: number;
  dataBytes: number;
}

/** Writes the plain 44-byte header, format chunk and data chunk, to the beginning of the view. */
export function writeWavHeader(view: DataView, header: WavHeader): void {
  const blockBytes = (header.channelCount * header.bits) / 8;
  writeText(view, 0, "RIFF");
  view.setUint32(4, WAV_HEADER_BYTES - 8 + header.dataBytes, true);
  writeText(view, 8, "WAVE");
  writeText(view, 12, "fmt ");
  view.setUint32(16, 16, true);
  view.setUint16(20, header.coding, true);
  view.setUint16(22, header.channelCount, true);
  view.setUint32(24, header.sampleRateHz, true);
  view.setUint32(28, header.sampleRateHz * blockBytes, true);
  view.setUint16(32, blockBytes, true);
  view.setUint16(34, header.bits, true);
  writeText(view, 36, "data");
  view.setUint32(40, header.dataBytes, true);
}

function writeText(view: DataView, offset: number, text: string): void {
  for (let i = 0; i < text.length; i++) view.setUint8(offset + i, text.charCodeAt(i));
}
