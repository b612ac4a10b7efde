/** Inputs of cases as JSON: bytes in base64, and the numbers that JSON does not know in words. */
export function toPlain(value: unknown): unknown {
  if (value instanceof Uint8Array) return { base64: Buffer.from(value).toString("base64") };
  if (typeof value === "number" && (!Number.isFinite(value) || Object.is(value, -0))) {
    return { number: Object.is(value, -0) ? "-0" : String(value) };
  }
  if (Array.isArray(value)) return value.map(toPlain);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, item]) => [key, toPlain(item)]));
}

export function fromPlain(plain: unknown): unknown {
  if (Array.isArray(plain)) return plain.map(fromPlain);
  if (typeof plain !== "object" || plain === null) return plain;
  const { base64, number } = plain as { base64?: unknown; number?: unknown };
  if (typeof base64 === "string") return new Uint8Array(Buffer.from(base64, "base64"));
  if (typeof number === "string") return Number(number);
  return Object.fromEntries(Object.entries(plain).map(([key, item]) => [key, fromPlain(item)]));
}
