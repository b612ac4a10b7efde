import { expect, test } from "vitest";
import { readWavFormat } from "../../src/audio/wav-format.ts";
import { extensibleChunk, type FormatFields, fmtChunk } from "./wav-builder.ts";

function read(fields: FormatFields) {
  const { body } = fmtChunk(fields);
  return readWavFormat(body);
}

test("readWavFormat refuses a chunk that is cut short, the long form too", () => {
  const { body } = fmtChunk();
  for (let end = 0; end < 16; end++) expect(() => readWavFormat(body.subarray(0, end))).toThrow("cut short");
  const long = extensibleChunk({ validBits: 16 }).body;
  for (let end = 16; end < 26; end++) expect(() => readWavFormat(long.subarray(0, end))).toThrow("cut short");
});

test("readWavFormat lets the byte rate decide where block size and bits disagree", () => {
  // 24 bits in 4 bytes: block size and byte rate agree
  expect(read({ bits: 24, blockBytes: 4 })).toMatchObject({ bytesPerValue: 4, bits: 24, consistent: true });
  // a block size that nothing else supports
  expect(read({ bits: 16, blockBytes: 4, byteRate: 96000 })).toMatchObject({
    bytesPerValue: 2,
    consistent: false,
  });
  // smaller than the bits need
  expect(read({ bits: 16, blockBytes: 1 })).toMatchObject({ bytesPerValue: 2, consistent: false });
  // not divisible among the channels
  expect(read({ bits: 16, channels: 2, blockBytes: 5 })).toMatchObject({
    bytesPerValue: 2,
    consistent: false,
  });
});

test("readWavFormat takes odd numbers of bits in whole bytes", () => {
  expect(read({ bits: 12 })).toMatchObject({ bytesPerValue: 2, bits: 12, consistent: true });
  expect(read({ bits: 20 })).toMatchObject({ bytesPerValue: 3, bits: 20, consistent: true });
});

test("readWavFormat ignores valid bits that cannot be", () => {
  for (const validBits of [0, 17, 65535]) {
    const { body } = extensibleChunk({ validBits });
    expect(readWavFormat(body).bits).toBe(16);
  }
});
