/**
 * Remainders of the cyclic redundancy checks that FLAC and Ogg use: most significant bit first, start 0, nothing
 * inverted (RFC 9639 sections 9.1.8 and 9.3; RFC 3533 section 6).
 */
export interface Crc {
  /** The remainder after one more byte. */
  next(crc: number, byte: number): number;
}

export function createCrc(width: 8 | 16 | 32, polynomial: number): Crc {
  const table = new Uint32Array(256);
  for (let byte = 0; byte < 256; byte++) {
    let remainder = (byte << 24) >>> 0;
    const aligned = (polynomial << (32 - width)) >>> 0;
    for (let bit = 0; bit < 8; bit++) {
      remainder = remainder & 0x80000000 ? ((remainder << 1) ^ aligned) >>> 0 : (remainder << 1) >>> 0;
    }
    table[byte] = remainder >>> (32 - width);
  }
  const mask = width === 32 ? 0xffffffff : (1 << width) - 1;
  const shift = width - 8;
  return {
    next: (crc, byte) => (((crc << 8) & mask) ^ table[((crc >>> shift) ^ byte) & 0xff]) >>> 0,
  };
}
