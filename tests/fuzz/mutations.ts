import fc from "fast-check";

/**
 * A mutator of bytes. Each change is plain data, so that a failing case shrinks to few and small changes. Places are
 * given as whole numbers and taken modulo the length, so that they mean something in a file of any length.
 */
export type Mutation =
  | { kind: "flip"; at: number; bit: number }
  | { kind: "set"; at: number; value: number }
  | { kind: "size"; at: number; bytes: 2 | 3 | 4 | 8; value: number; bigEndian: boolean }
  | { kind: "cut"; at: number }
  | { kind: "remove"; at: number; count: number }
  | { kind: "repeat"; at: number; count: number; times: number }
  | { kind: "splice"; at: number; from: number; count: number }
  | { kind: "insert"; at: number; bytes: Uint8Array }
  | { kind: "fill"; at: number; count: number; value: number }
  | { kind: "exchange"; first: number; second: number };

/** Where sizes and counts break programs: nothing, one, the ends of every width, one beyond, minus one. */
const EXTREMES = [
  ...[0, 1, 2, 3, 4, 7, 8, 255, 256, 32767, 32768, 65535, 65536, 0x7fffff, 0xffffff],
  ...[0x7ffff000, 0x7fffffff, 0x80000000, 0xfffffff0, 0xffffffff, 2 ** 40, 2 ** 53],
];

/** Half the places lie in the first bytes, where headers are. */
const place = fc.oneof(
  { arbitrary: fc.nat(63), weight: 1 },
  { arbitrary: fc.nat(511), weight: 1 },
  { arbitrary: fc.nat(2 ** 24), weight: 2 },
);
const count = fc.oneof({ arbitrary: fc.nat(64), weight: 3 }, { arbitrary: fc.nat(4096), weight: 1 });
const byte = fc.oneof(fc.constantFrom(0, 1, 0x7f, 0x80, 0xfe, 0xff), fc.nat(255));

const mutation: fc.Arbitrary<Mutation> = fc.oneof(
  fc.record({ kind: fc.constant("flip" as const), at: place, bit: fc.nat(7) }),
  fc.record({ kind: fc.constant("set" as const), at: place, value: byte }),
  fc.record({
    kind: fc.constant("size" as const),
    at: place,
    bytes: fc.constantFrom(2 as const, 3 as const, 4 as const, 8 as const),
    value: fc.constantFrom(...EXTREMES),
    bigEndian: fc.boolean(),
  }),
  fc.record({ kind: fc.constant("cut" as const), at: place }),
  fc.record({ kind: fc.constant("remove" as const), at: place, count }),
  fc.record({
    kind: fc.constant("repeat" as const),
    at: place,
    count,
    times: fc.integer({ min: 1, max: 40 }),
  }),
  fc.record({ kind: fc.constant("splice" as const), at: place, from: place, count }),
  fc.record({ kind: fc.constant("insert" as const), at: place, bytes: fc.uint8Array({ maxLength: 64 }) }),
  fc.record({ kind: fc.constant("fill" as const), at: place, count, value: byte }),
  fc.record({ kind: fc.constant("exchange" as const), first: fc.nat(40), second: fc.nat(40) }),
);

/**
 * A valid file with up to eight changes.
 *
 * @param files valid files; splices take from another of them
 * @param marks texts that chunks, pages or frames begin with: the file is cut there and two pieces change places
 */
export function mutated(files: readonly Uint8Array[], marks: readonly string[]): fc.Arbitrary<Uint8Array> {
  return fc
    .record({
      file: fc.nat(files.length - 1),
      other: fc.nat(files.length - 1),
      changes: fc.oneof(fc.tuple(mutation), fc.array(mutation, { minLength: 2, maxLength: 8 })),
    })
    .map(({ file, other, changes }) =>
      (changes as Mutation[]).reduce(
        (bytes, change) => mutate(bytes, change, files[other]!, marks),
        files[file]!,
      ),
    );
}

/** No file grows beyond this by repeating; what a case may cost follows from it. */
export const MOST_BYTES = 400_000;

export function mutate(
  bytes: Uint8Array,
  change: Mutation,
  other: Uint8Array,
  marks: readonly string[],
): Uint8Array {
  if (bytes.length === 0) return change.kind === "insert" ? change.bytes : bytes;
  if (change.kind === "exchange") return exchange(bytes, change.first, change.second, marks);
  const at = change.at % bytes.length;
  const result = bytes.slice();
  switch (change.kind) {
    case "flip":
      result[at]! ^= 1 << change.bit;
      return result;
    case "set":
      result[at] = change.value;
      return result;
    case "size":
      for (let k = 0; k < change.bytes && at + k < result.length; k++) {
        const digit = change.bigEndian ? change.bytes - 1 - k : k;
        result[at + k] = Math.floor(change.value / 256 ** digit) % 256;
      }
      return result;
    case "cut":
      return result.subarray(0, at);
    case "remove":
      return concat([bytes.subarray(0, at), bytes.subarray(at + change.count)]);
    case "repeat": {
      const piece = bytes.subarray(at, at + change.count);
      const times = Math.min(
        change.times,
        Math.floor((MOST_BYTES - bytes.length) / Math.max(1, piece.length)),
      );
      return concat([bytes.subarray(0, at), ...Array(Math.max(0, times)).fill(piece), bytes.subarray(at)]);
    }
    case "splice": {
      const from = change.from % Math.max(1, other.length);
      return concat([
        bytes.subarray(0, at),
        other.subarray(from, from + change.count),
        bytes.subarray(at + change.count),
      ]);
    }
    case "insert":
      return concat([bytes.subarray(0, at), change.bytes, bytes.subarray(at)]);
    case "fill":
      return result.fill(change.value, at, at + change.count);
  }
}

/** Cuts the file at its marks and lets two of the pieces change places. */
function exchange(bytes: Uint8Array, first: number, second: number, marks: readonly string[]): Uint8Array {
  const cuts = [0];
  for (let i = 1; i < bytes.length; i++) {
    if (marks.some((mark) => startsAt(bytes, i, mark))) cuts.push(i);
  }
  const pieces = cuts.map((cut, i) => bytes.subarray(cut, cuts[i + 1] ?? bytes.length));
  const [a, b] = [first % pieces.length, second % pieces.length];
  [pieces[a], pieces[b]] = [pieces[b]!, pieces[a]!];
  return concat(pieces);
}

function startsAt(bytes: Uint8Array, at: number, mark: string): boolean {
  for (let k = 0; k < mark.length; k++) if (bytes[at + k] !== mark.charCodeAt(k)) return false;
  return true;
}

function concat(parts: readonly Uint8Array[]): Uint8Array {
  const joined = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    joined.set(part, at);
    at += part.length;
  }
  return joined;
}
