import { expect, test, vi } from "vitest";
import { decodeRecording, encodeWav16 } from "../../src/audio/index.ts";
import { fixture } from "./samples.ts";

const loaded: string[] = [];

vi.mock("@wasm-audio-decoders/flac", async (original) => {
  loaded.push("flac");
  return original();
});
vi.mock("mpg123-decoder", async (original) => {
  loaded.push("mpg123");
  return original();
});
vi.mock("@wasm-audio-decoders/ogg-vorbis", async (original) => {
  loaded.push("vorbis");
  return original();
});
vi.mock("ogg-opus-decoder", async (original) => {
  loaded.push("opus");
  return original();
});

test("decodeRecording loads a decoder when a file needs it, no other, and frees it", async () => {
  await decodeRecording(encodeWav16([Float32Array.of(0.5)], 48000));
  expect(loaded).toEqual([]);
  await decodeRecording(fixture("deep.flac"));
  expect(loaded).toEqual(["flac"]);
  await decodeRecording(fixture("tone.mp3"));
  expect(loaded).toEqual(["flac", "mpg123"]);

  const { FLACDecoder } = await import("@wasm-audio-decoders/flac");
  const freed = vi.spyOn(FLACDecoder.prototype, "free");
  await decodeRecording(fixture("deep.flac"));
  await decodeRecording(fixture("deep.flac").subarray(0, 300)).catch(() => {});
  expect(freed).toHaveBeenCalledTimes(2);
});
