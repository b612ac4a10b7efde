/** Deeper than any measurement lies; what calls itself once a level must not exhaust the stack. */
const MOST_LEVELS = 64;
/** Beyond every number of a measurement, and small enough that squares and cubes of it are finite. */
const LARGEST = 1e100;

interface Place {
  value: unknown;
  path: string;
  level: number;
}

/**
 * What a schema lets pass and no measurement holds, also in fields that nobody knows: numbers so large that arithmetic
 * with them overflows, and levels so many that walking them exhausts the stack. It does not call itself.
 *
 * @returns what is wrong, beginning with the path of the field, or null
 */
export function beyondReason(json: unknown): string | null {
  const todo: Place[] = [{ value: json, path: "", level: 0 }];
  for (let next = todo.pop(); next !== undefined; next = todo.pop()) {
    const { value, path, level } = next;
    if (typeof value === "number" && Math.abs(value) > LARGEST) {
      return `${path} is ${value}, beyond anything that is measured`;
    }
    if (typeof value !== "object" || value === null) continue;
    if (level === MOST_LEVELS) return `${path.slice(0, 80)}... lies more than ${MOST_LEVELS} levels deep`;
    for (const [key, inner] of Object.entries(value)) {
      // Most of a file are the points of curves, whose paths nobody asks for.
      if (typeof inner === "number" && Math.abs(inner) <= LARGEST) continue;
      const step = Array.isArray(value) ? `[${key}]` : path === "" ? key : `.${key}`;
      todo.push({ value: inner, path: path + step, level: level + 1 });
    }
  }
  return null;
}
