import fc from "fast-check";

/** Changes to parsed JSON or YAML, as plain data; a place is a whole number, taken modulo the number of values. */
export type JsonChange =
  | { kind: "replace"; at: number; value: unknown }
  | { kind: "remove"; at: number }
  | { kind: "repeat"; at: number; times: number }
  | { kind: "copy"; at: number; from: number }
  | { kind: "scale"; at: number; by: number }
  | { kind: "rename"; at: number; key: string };

/** Values that are seldom met: numbers at the ends of what a double holds, and texts that mean something elsewhere. */
export const ODD_NUMBERS = [
  ...[0, -0, 1, -1, 0.5, 1e-3, 1e3, 1e-12, 1e12, 5e-324, -5e-324, 1e-300, 1e300, -1e300],
  ...[Number.MAX_VALUE, -Number.MAX_VALUE, Number.MAX_SAFE_INTEGER, 2 ** 31, 2 ** 32, 1e21],
];
export const ODD_TEXTS = [
  ...["", " ", "\n", "\u0000", "\u001b[31mred", "\u202eright to left", "\ufeff", "é", "🔔", "a".repeat(3000)],
  ...["<script>alert(1)</script>", "</script><b>", "--><img src=x onerror=alert(1)>", "&amp;", "'\"`$"],
  ...["__proto__", "constructor", "toString", "hasOwnProperty", "../../etc", "1e999", "0x10", "-", "*", "{"],
  ...["=1+1", "C6", "Cu80Sn20", "\ud800", "a: b", "- x", "# x", "%", "%s %d", "\\"],
];

const oddValue: fc.Arbitrary<unknown> = fc.oneof(
  { arbitrary: fc.constantFrom(...ODD_NUMBERS), weight: 6 },
  { arbitrary: fc.constantFrom(...ODD_TEXTS), weight: 3 },
  { arbitrary: fc.constantFrom<unknown>(null, true, false, [], {}, [[]], { value: 0, ci95: 0 }), weight: 3 },
  { arbitrary: fc.double({ noNaN: true, noDefaultInfinity: true }), weight: 2 },
  { arbitrary: fc.jsonValue({ maxDepth: 2 }), weight: 1 },
);
const place = fc.nat(2 ** 20);

const change: fc.Arbitrary<JsonChange> = fc.oneof(
  { arbitrary: fc.record({ kind: fc.constant("replace" as const), at: place, value: oddValue }), weight: 6 },
  { arbitrary: fc.record({ kind: fc.constant("remove" as const), at: place }), weight: 1 },
  {
    arbitrary: fc.record({
      kind: fc.constant("repeat" as const),
      at: place,
      times: fc.integer({ min: 1, max: 5 }),
    }),
    weight: 1,
  },
  { arbitrary: fc.record({ kind: fc.constant("copy" as const), at: place, from: place }), weight: 2 },
  {
    arbitrary: fc.record({
      kind: fc.constant("scale" as const),
      at: place,
      by: fc.constantFrom(-1, 0, 1e-9, 1e-3, 0.5, 2, 1e3, 1e9, 1e150),
    }),
    weight: 4,
  },
  {
    arbitrary: fc.record({
      kind: fc.constant("rename" as const),
      at: place,
      key: fc.constantFrom("", "x", "__proto__", "schema", "value", "ci95", "name"),
    }),
    weight: 1,
  },
);

export const jsonChanges = fc.array(change, { minLength: 1, maxLength: 6 });

interface Slot {
  holder: Record<string, unknown> | unknown[];
  key: string | number;
}

/** A copy with the changes made. */
export function changeJson(json: unknown, changes: readonly JsonChange[]): unknown {
  const root: Record<string, unknown> = { root: structuredClone(json) };
  for (const each of changes) {
    const slots = slotsOf(root);
    // Everything may have been taken away before.
    if (slots.length === 0) continue;
    changeOne(slots[each.at % slots.length]!, each, slots);
  }
  return root.root;
}

/**
 * Every value, scalars of one long list counted as one: without it the points of a curve, which are most of a file,
 * would take nearly all changes.
 */
function slotsOf(root: Record<string, unknown>): Slot[] {
  const slots: Slot[] = [];
  const visit = (holder: Slot["holder"]): void => {
    const keys = Array.isArray(holder) ? holder.map((_, i) => i) : Object.keys(holder);
    const few = keys.length > 40 ? keys.slice(0, 2) : keys;
    for (const key of few) {
      slots.push({ holder, key });
      const value = get({ holder, key });
      if (typeof value === "object" && value !== null) visit(value as Slot["holder"]);
    }
  };
  visit(root);
  return slots;
}

const get = ({ holder, key }: Slot): unknown => (holder as Record<string | number, unknown>)[key];

function set(slot: Slot, value: unknown): void {
  // Defined, not assigned: "__proto__" is a key like any other in JSON.
  Object.defineProperty(slot.holder, slot.key, {
    value,
    writable: true,
    enumerable: true,
    configurable: true,
  });
}

function changeOne(slot: Slot, each: JsonChange, slots: readonly Slot[]): void {
  const { holder, key } = slot;
  const value = get(slot);
  switch (each.kind) {
    case "replace":
      set(slot, each.value);
      return;
    case "remove":
      if (Array.isArray(holder)) holder.splice(key as number, 1);
      else delete holder[key];
      return;
    case "repeat":
      if (Array.isArray(holder)) holder.splice(key as number, 0, ...Array(each.times).fill(value));
      return;
    case "copy":
      set(slot, structuredClone(get(slots[each.from % slots.length]!)));
      return;
    case "scale":
      if (typeof value === "number" && Number.isFinite(value * each.by)) set(slot, value * each.by);
      return;
    case "rename":
      if (Array.isArray(holder)) return;
      delete holder[key];
      set({ holder, key: each.key }, value);
      return;
  }
}
