import { findFlacFrames, readFlacStart } from "../../src/audio/flac-frames.ts";
import { data, extensibleChunk, floatBytes, fmtChunk, pcmBytes, riff, text } from "../audio/wav-builder.ts";
import { readBytes } from "./root.ts";

/** Valid files that the mutator starts from: small, and between them every branch of each reader. */

const codes = (count: number, full: number): number[] =>
  Array.from({ length: count }, (_, i) => Math.round(full * Math.sin(i / 3)));
const sine = (count: number): number[] => Array.from({ length: count }, (_, i) => Math.sin(i / 3) / 2);

export const WAV_FILES: readonly Uint8Array[] = [
  riff([fmtChunk(), data(pcmBytes(codes(200, 30000), 2))]),
  riff([fmtChunk({ bits: 8, channels: 2, rateHz: 44100 }), data(pcmBytes(codes(101, 100), 1))]),
  riff([
    fmtChunk({ bits: 24, rateHz: 96000 }),
    { id: "LIST", body: text("INFOodd") },
    data(pcmBytes(codes(90, 8e6), 3)),
  ]),
  riff([fmtChunk({ bits: 32, channels: 8 }), data(pcmBytes(codes(80, 2e9), 4))]),
  riff([fmtChunk({ code: 3, bits: 32 }), data(floatBytes(sine(150), 4))]),
  riff([fmtChunk({ code: 3, bits: 64 }), data(floatBytes(sine(90), 8))]),
  riff([extensibleChunk({ bits: 24, validBits: 20, channels: 2 }), data(pcmBytes(codes(100, 8e6), 3))]),
  riff(
    [
      {
        id: "ds64",
        body: Uint8Array.of(...Array(8).fill(0), 200, 0, 0, 0, 0, 0, 0, 0, ...Array(12).fill(0)),
      },
      fmtChunk(),
      data(pcmBytes(codes(100, 30000), 2), 0xffffffff),
    ],
    "RF64",
  ),
  riff([fmtChunk({ rateHz: 8000 }), data(pcmBytes(codes(60, 99), 2), 0)]),
];

/** The header and the first frames of a real recording in stereo, whose packed frames use prediction. */
function beginningOfBell(): Uint8Array {
  const bytes = readBytes("node_modules/supersonic-scsynth-samples/samples/perc_bell.flac");
  const { firstFrame } = readFlacStart(bytes, 0)!;
  const [first] = findFlacFrames(bytes.subarray(0, firstFrame + 40000), firstFrame).frames;
  return bytes.slice(0, firstFrame + first!.length);
}

export const FLAC_FILES: readonly Uint8Array[] = [
  readBytes("fixtures/audio/deep.flac"),
  ...[8, 16, 24, 32].map((bits) => readBytes(`fixtures/audio/extremes-${bits}.flac`)),
  beginningOfBell(),
];

export const VORBIS_FILES: readonly Uint8Array[] = [readBytes("fixtures/audio/tone.ogg")];
export const OPUS_FILES: readonly Uint8Array[] = [readBytes("fixtures/audio/tone.opus")];

/** With an ID3v2 tag of 20 bytes in front, and one of 128 behind. */
function tagged(bytes: Uint8Array): Uint8Array {
  const tag = [0x49, 0x44, 0x33, 3, 0, 0, 0, 0, 0, 20, ...Array(20).fill(0)];
  return Uint8Array.from([...tag, ...bytes, 0x54, 0x41, 0x47, ...Array(125).fill(32)]);
}

export const MP3_FILES: readonly Uint8Array[] = [
  readBytes("fixtures/audio/tone.mp3"),
  readBytes("fixtures/audio/mono.mp3"),
  tagged(readBytes("fixtures/audio/tone.mp3")),
];
