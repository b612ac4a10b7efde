import { expect, test } from "vitest";
import { createCrc } from "../../src/audio/crc.ts";
import { readOggStream } from "../../src/audio/ogg-pages.ts";
import { fixture } from "./samples.ts";
import { concat, text } from "./wav-builder.ts";

const TONE = fixture("tone.ogg");
const WHOLE = readOggStream(TONE)!;

test("readOggStream is null where not one page is whole", () => {
  for (const bytes of [new Uint8Array(0), text("OggS"), TONE.subarray(0, 40), new Uint8Array(500)]) {
    expect(readOggStream(bytes)).toBeNull();
  }
});

test("readOggStream gives all pages of a whole file, and where its sound ends", () => {
  // 0.25 s at 48 kHz
  expect(WHOLE).toMatchObject({ endPosition: 12000, broken: false });
  expect(concat(WHOLE.pages)).toEqual(TONE);
  expect(WHOLE.identification.subarray(0, 7)).toEqual(text("\x01vorbis"));
});

test("readOggStream ends before a damaged page", () => {
  let start = 0;
  WHOLE.pages.forEach((page, index) => {
    for (const at of [0, 5, 20, 24, 26, 40, page.length - 1].filter((i) => i < page.length)) {
      const damaged = Uint8Array.from(TONE);
      damaged[start + at] ^= 0x04;
      const stream = readOggStream(damaged);
      if (index === 0) expect(stream).toBeNull();
      else expect(stream).toMatchObject({ pages: { length: index }, broken: true });
    }
    start += page.length;
  });
});

test("readOggStream ends where a page is missing, and keeps to the first of two streams", () => {
  const [first, second, ...rest] = WHOLE.pages;
  expect(readOggStream(concat([first, ...rest]))).toMatchObject({ pages: { length: 1 }, broken: true });
  // The page of another stream in between: another serial number, its check sum made anew
  const other = Uint8Array.from(second);
  other[14] ^= 0x7f;
  other.fill(0, 22, 26);
  const crc = createCrc(32, 0x04c11db7);
  new DataView(other.buffer).setUint32(
    22,
    other.reduce((sum, byte) => crc.next(sum, byte), 0),
    true,
  );
  const mixed = readOggStream(concat([first, other, second, ...rest]))!;
  expect(concat(mixed.pages)).toEqual(TONE);
});
