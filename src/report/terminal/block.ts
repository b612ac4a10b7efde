import { keepTogether } from "../numbers.ts";
import { printable, wrap } from "./cells.ts";
import type { Paint } from "./paint.ts";

/** As {@link printable}, but fixed spaces stay until the lines are broken. */
export const foreignToTerminal = (text: string) =>
  keepTogether(text).split("\u00a0").map(printable).join("\u00a0");

/** A heading and its items, a line each where they fit; nothing when there are none. */
export function block(heading: string, items: string[], width: number, paint: Paint): string[] {
  if (items.length === 0) return [];
  const lines = items.flatMap((item) =>
    wrap(foreignToTerminal(item), width - 2, 2).map((line) => `  ${line}`),
  );
  return ["", paint(heading, "bold"), ...lines];
}
