import { expect, test, vi } from "vitest";
import { UnreadableAudioError } from "../../src/audio/index.ts";
import { withDecoder } from "../../src/audio/with-decoder.ts";

function fakeDecoder() {
  return { ready: Promise.resolve(), free: vi.fn() };
}

test("withDecoder turns what a decoder throws, an error or a string, into one sentence, and frees it", async () => {
  for (const thrown of [new RangeError("out of bounds"), "abort"]) {
    const decoder = fakeDecoder();
    const result = withDecoder(decoder, async () => {
      throw thrown;
    });
    await expect(result).rejects.toThrow(UnreadableAudioError);
    await expect(result).rejects.toThrow("copy it again");
    expect(decoder.free).toHaveBeenCalledTimes(1);
  }
});

test("withDecoder lets our own refusals through, and a decoder that cannot start is no fault of the file", async () => {
  const refusal = new UnreadableAudioError("Too long.");
  const result = withDecoder(fakeDecoder(), () => Promise.reject(refusal));
  await expect(result).rejects.toBe(refusal);
  const broken = { ready: Promise.reject(new Error("no WebAssembly")), free: vi.fn() };
  const started = withDecoder(broken, async () => 1);
  await expect(started).rejects.toThrow("no WebAssembly");
  await expect(started).rejects.not.toThrow(UnreadableAudioError);
});

test("withDecoder survives a decoder that cannot even be freed", async () => {
  const decoder = {
    ready: Promise.resolve(),
    free: () => {
      throw new Error("memory access out of bounds");
    },
  };
  await expect(withDecoder(decoder, async () => 1)).rejects.toThrow(UnreadableAudioError);
});

test("withDecoder gives back what was decoded, and frees the decoder", async () => {
  const decoder = fakeDecoder();
  expect(await withDecoder(decoder, async () => 42)).toBe(42);
  expect(decoder.free).toHaveBeenCalledTimes(1);
});
