import { describe, expect, it } from "vitest";
import { decodeRecording } from "../../src/audio/index.ts";
import { meshVolume, readStl } from "../../src/foundry/index.ts";
import { data, fmtChunk, pcmBytes, riff, text, u32 } from "../audio/wav-builder.ts";
import { FLAC_FILES, MP3_FILES, OPUS_FILES, VORBIS_FILES, WAV_FILES } from "./files.ts";
import { peakBytes, startPeak } from "./peak.ts";
import { resealFlac, resealOgg } from "./reseal.ts";

/**
 * What a header says of sizes is a claim of whoever wrote the file. Each of these files has some kilobytes and claims
 * up to an exabyte; what reading it costs must follow from what is there.
 */

const PCM = pcmBytes([1, -2, 3, -4], 2);

/** The file with these bytes from `at` on. */
function withBytes(file: Uint8Array, at: number, bytes: number[]): Uint8Array {
  const result = file.slice();
  result.set(bytes, at);
  return result;
}

/** Where a text stands in a file. */
function find(file: Uint8Array, word: string): number {
  const at = Buffer.from(file).indexOf(word, 0, "latin1");
  if (at < 0) throw new Error(`no ${word}`);
  return at;
}

const FULL = [0xff, 0xff, 0xff, 0xff];
const [VORBIS] = VORBIS_FILES as [Uint8Array];
const [OPUS] = OPUS_FILES as [Uint8Array];
const [FLAC] = FLAC_FILES as [Uint8Array];
const [MP3] = MP3_FILES as [Uint8Array];
const [RF64] = WAV_FILES.filter((file) => file[1] === 0x46) as [Uint8Array];

const CLAIMS: [what: string, bytes: Uint8Array][] = [
  ["WAV: data of 4 GiB", riff([fmtChunk(), data(PCM, 0xfffffffe)])],
  ["WAV: a format chunk of 4 GiB", riff([{ ...fmtChunk(), claimedSize: 0xfffffff0 }, data(PCM)])],
  [
    "WAV: a chunk of 4 GiB before the data",
    riff([fmtChunk(), { id: "LIST", body: text("x"), claimedSize: 0xfffffff0 }, data(PCM)]),
  ],
  ["WAV: 65535 channels", riff([fmtChunk({ channels: 65535, blockBytes: 65534 }), data(PCM)])],
  [
    "WAV: 8 channels of 64 bits at 4 GHz",
    riff([fmtChunk({ code: 3, channels: 8, bits: 64, rateHz: 0xffffffff }), data(PCM)]),
  ],
  ["RF64: data of 16 EiB", withBytes(RF64, find(RF64, "ds64") + 16, [...FULL, ...FULL])],
  ["FLAC: 2^36 samples", withBytes(FLAC, 4 + 4 + 13, [FLAC[21]! | 0x0f, ...FULL])],
  ["FLAC: blocks of 65535 samples in STREAMINFO", withBytes(FLAC, 8, [0xff, 0xff, 0xff, 0xff])],
  ["FLAC: a metadata block of 16 MiB", withBytes(FLAC, 5, [0xff, 0xff, 0xff])],
  ["FLAC: a first frame of 65536 samples", resealFlac(longFrame(FLAC))],
  ["Ogg: an end position of 2^63 - 1", resealOgg(everyPage(OPUS, 6, [...FULL, 0xff, 0xff, 0xff, 0x7f]))],
  ["Ogg: pages of 255 segments of 255 bytes", resealOgg(withBytes(VORBIS, 26, Array(256).fill(0xff)))],
  ["Vorbis: a vendor's name of 4 GiB", resealOgg(withBytes(VORBIS, find(VORBIS, "\x03vorbis") + 7, FULL))],
  ["Vorbis: 2^32 - 1 comments", resealOgg(withBytes(VORBIS, afterVendor(VORBIS), FULL))],
  [
    "Vorbis: a codebook of 2^24 - 1 entries",
    resealOgg(withBytes(VORBIS, find(VORBIS, "BCV") + 5, [0xff, 0xff, 0xff])),
  ],
  [
    "Vorbis: a codebook of 65535 dimensions",
    resealOgg(withBytes(VORBIS, find(VORBIS, "BCV") + 3, [0xff, 0xff])),
  ],
  ["Vorbis: blocks of 2^15 samples", resealOgg(withBytes(VORBIS, find(VORBIS, "\x01vorbis") + 28, [0xff]))],
  ["Vorbis: 255 channels", resealOgg(withBytes(VORBIS, find(VORBIS, "\x01vorbis") + 11, [255]))],
  ["Opus: 255 channels", resealOgg(withBytes(OPUS, find(OPUS, "OpusHead") + 9, [255]))],
  ["Opus: 65535 samples to leave out", resealOgg(withBytes(OPUS, find(OPUS, "OpusHead") + 10, [0xff, 0xff]))],
  ["Opus: a vendor's name of 4 GiB", resealOgg(withBytes(OPUS, find(OPUS, "OpusTags") + 8, FULL))],
  ["MP3: a tag of 256 MiB", Uint8Array.from([0x49, 0x44, 0x33, 3, 0, 0, 0x7f, 0x7f, 0x7f, 0x7f, ...MP3])],
  ["MP3: 2^32 - 1 frames by the encoder's note", withNote(MP3)],
];

/** Block code 7 and all ones behind the number: 65536 samples, in the bytes of 192. */
function longFrame(file: Uint8Array): Uint8Array {
  const at = Buffer.from(file).indexOf(Buffer.from([0xff, 0xf8]));
  const head = [0xff, 0xf8, 0x70 | (file[at + 2]! & 15), file[at + 3]!, 0, 0xff, 0xff, 0];
  return Uint8Array.from([...file.subarray(0, at), ...head, ...file.subarray(at + 6)]);
}

function everyPage(file: Uint8Array, offset: number, bytes: number[]): Uint8Array {
  const result = file.slice();
  for (let at = 0; ; at++) {
    at = Buffer.from(file).indexOf("OggS", at, "latin1");
    if (at < 0) return result;
    result.set(bytes, at + offset);
  }
}

function afterVendor(file: Uint8Array): number {
  const at = find(file, "\x03vorbis") + 7;
  return at + 4 + new DataView(file.buffer, file.byteOffset).getUint32(at, true);
}

function withNote(file: Uint8Array): Uint8Array {
  const at = Buffer.from(file).findIndex((_, i) =>
    ["Xing", "Info"].includes(String.fromCharCode(...file.subarray(i, i + 4))),
  );
  return withBytes(file, at + 7, [1, ...FULL]);
}

/** Each decoder's own memory, allocated anew for every file: 16 MiB, and as much again while it starts. */
const DECODER_BYTES = 32 * 2 ** 20;
/** What the garbage collector may leave lying of the young generation. */
const SLACK_BYTES = 64 * 2 ** 20;

describe("decodeRecording", () => {
  it.each(CLAIMS)("decodeRecording of %s costs what is there, not what is claimed", async (_, bytes) => {
    // Once before, so that the code of the decoder is loaded.
    await decodeRecording(bytes).catch(() => {});
    const before = startPeak();
    const decoded = await decodeRecording(bytes).catch((error: Error) => error);
    const grown = peakBytes() - before;
    if (decoded instanceof Error) expect(decoded.name).toBe("UnreadableAudioError");
    // A frame of FLAC may stand for 65536 samples, a page of Ogg for 255 packets: still no gigabyte.
    expect(grown).toBeLessThan(DECODER_BYTES + SLACK_BYTES);
  });
});

describe("readStl", () => {
  it.each([
    ["4 billion triangles and none", 0],
    ["4 billion triangles and one", 50],
  ])("readStl of %s is refused before anything is allocated", (_, more) => {
    const bytes = Uint8Array.from([...Array(80).fill(0), ...u32(0xffffffff), ...Array(more).fill(0)]);
    const before = startPeak();
    expect(() => meshVolume(readStl(bytes), 1)).toThrow(/cut short or no STL file/);
    expect(peakBytes() - before).toBeLessThan(SLACK_BYTES);
  });
});
