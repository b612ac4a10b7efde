import fc from "fast-check";
import { decodeRecording, openRecording, type Recording, sourceOfBytes } from "../../../src/audio/index.ts";
import { FLAC_FILES, MP3_FILES, OPUS_FILES, VORBIS_FILES, WAV_FILES } from "../files.ts";
import { mutated } from "../mutations.ts";
import { expectRefusal, expectSentence } from "../outcome.ts";
import { resealFlac, resealOgg } from "../reseal.ts";
import { type Limits, OutcomeError, type Target, type Verdict } from "../target.ts";

const FEWEST_HZ = 8000;
const MOST_HZ = 192000;
const MOST_CHANNELS = 8;

/** Bytes to a recording, or to one sentence. */
async function checkDecoding({ bytes }: { bytes: Uint8Array }): Promise<Verdict> {
  const before = bytes.slice();
  let recording: Recording;
  try {
    recording = await decodeRecording(bytes);
  } catch (error) {
    expectRefusal(error, ["UnreadableAudioError"]);
    return { outcome: "refused", weightBytes: bytes.length };
  }
  if (!before.every((byte, i) => byte === bytes[i])) throw new OutcomeError("the reader changed its input");
  expectRecording(recording);
  await expectSameInPieces(bytes, recording);
  const values = recording.channels.length * recording.channels[0]!.length;
  return { outcome: "accepted", weightBytes: bytes.length + 4 * values };
}

/** Samples of a reading in one go, hundred by hundred. */
const PIECE = 100;

/** A long WAV is read piece by piece where it is wanted; the same samples come of it. */
async function expectSameInPieces(bytes: Uint8Array, { channels }: Recording): Promise<void> {
  const { read, sampleCount, held } = await openRecording(sourceOfBytes(bytes), 0);
  if (held !== null) return;
  for (let from = 0; from < sampleCount; from += PIECE) {
    const piece = read(from, Math.min(sampleCount, from + PIECE));
    const same = piece.every((each, c) => each.every((value, i) => Object.is(value, channels[c]![from + i])));
    if (!same) throw new OutcomeError(`the samples from ${from} on differ when they are read in pieces`);
  }
}

function expectRecording({ channels, sampleRateHz, bits, warnings }: Recording): void {
  const length = channels[0]?.length ?? 0;
  const complaint =
    channels.length < 1 || channels.length > MOST_CHANNELS
      ? `${channels.length} channels`
      : length < 1 || channels.some((channel) => channel.length !== length)
        ? `channels of ${channels.map((channel) => channel.length).join(", ")} samples`
        : !(sampleRateHz >= FEWEST_HZ && sampleRateHz <= MOST_HZ)
          ? `a rate of ${sampleRateHz} Hz`
          : bits !== null && !(bits >= 1 && bits <= 64)
            ? `${bits} bits`
            : channels.some((channel) => !channel.every(Number.isFinite))
              ? "samples that are no numbers"
              : null;
  if (complaint !== null) throw new OutcomeError(`a recording with ${complaint} was handed out`);
  warnings.forEach(expectSentence);
}

/**
 * Starting a decoder compiles its WebAssembly anew and takes 16 MiB of memory for it, whatever the file holds; 64 MiB
 * more are what the young generation of the heap may hold back. In proportion: the file, its pieces, and the joined
 * channels may be there at once, in float32, and half as much again while an array grows.
 */
const LIMITS: Limits = {
  cpuMs: 2000,
  cpuMsPerMegabyte: 2000,
  memoryBytes: 160 * 2 ** 20,
  memoryPerByte: 8,
};

/** Half the cases with their check sums put right, where the format has some. */
function target(
  name: string,
  share: number,
  files: readonly Uint8Array[],
  marks: string[],
  reseal: (bytes: Uint8Array) => Uint8Array = (bytes) => bytes,
): Target<{ bytes: Uint8Array }> {
  return {
    name,
    what: `bytes of ${name === "wav" ? "WAV" : name} files`,
    share,
    limits: LIMITS,
    cases: fc
      .tuple(mutated(files, marks), fc.integer({ min: 0, max: 3 }))
      .map(([bytes, seal]) => ({ bytes: seal > 0 ? reseal(bytes) : bytes })),
    check: checkDecoding,
  };
}

export const AUDIO_TARGETS = [
  target("wav", 400, WAV_FILES, ["RIFF", "fmt ", "data", "LIST", "ds64"]),
  target("flac", 160, FLAC_FILES, ["fLaC", "\xff\xf8", "\xff\xf9"], resealFlac),
  target("vorbis", 21, VORBIS_FILES, ["OggS"], resealOgg),
  target("opus", 20, OPUS_FILES, ["OggS"], resealOgg),
  target("mp3", 60, MP3_FILES, ["\xff\xfb", "ID3", "TAG"]),
];
