import { type CST, Parser } from "yaml";

/** Far beyond what a series file has; thousands would exhaust the stack of the parser's later steps. */
export const MOST_LEVELS = 50;

/**
 * How deep lists and maps lie within one another in a YAML or JSON text, right or wrong. Neither the first step of the
 * parser, which this uses, nor the count calls itself, so any depth can be counted.
 */
export function levelsOf(text: string): number {
  let deepest = 0;
  const todo: { token: CST.Token; level: number }[] = [];
  for (const token of new Parser().parse(text)) todo.push({ token, level: 0 });
  for (let next = todo.pop(); next !== undefined; next = todo.pop()) {
    const { token, level } = next;
    deepest = Math.max(deepest, level);
    for (const inner of within(token)) todo.push({ token: inner, level: level + 1 });
  }
  return deepest;
}

function within(token: CST.Token): CST.Token[] {
  if (token.type === "document") return token.value ? [token.value] : [];
  if (!("items" in token)) return [];
  return token.items.flatMap(({ key, value }) => [key, value].filter((each) => each != null));
}
