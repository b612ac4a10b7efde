import { expect, test } from "vitest";
import { createCrc } from "../../src/audio/crc.ts";
import { text } from "./wav-builder.ts";

// Check values of "123456789" in Cook's catalogue of parametrised CRC algorithms (from memory): CRC-8/SMBUS,
// CRC-16/UMTS, and CRC-32/CKSUM before its final inversion.
test("createCrc gives the catalogued check values of the three polynomials", () => {
  const remainder = (width: 8 | 16 | 32, polynomial: number) => {
    const crc = createCrc(width, polynomial);
    return text("123456789").reduce((sum, byte) => crc.next(sum, byte), 0);
  };
  expect(remainder(8, 0x07)).toBe(0xf4);
  expect(remainder(16, 0x8005)).toBe(0xfee8);
  expect(remainder(32, 0x04c11db7)).toBe(~0x765e7680 >>> 0);
});
