/**
 * Whether an excerpt in a document is what the program prints: the same words in the same order, layout aside. A number
 * with an interval after it may lie anywhere within that interval, since the interval says how far to trust it; the
 * interval itself may be up to twice as wide or half as wide; another number with decimals may differ by one unit of its
 * last digit, as rounding does; whole numbers are the same.
 */

const NUMBER = /(?<![\p{L}\d_.])[+−-]?\d[\d.]*(?<!\.)/gu;

/** A line that stands for lines left out. */
const GAP = /^\s*\.\.\.\s*$/m;

export interface Found {
  /** The excerpt as the program prints it now, whole lines, gaps kept. */
  text: string;
  /** Numbers that differ by more than they may: "1309.289 is 1310.0 now". */
  differences: string[];
}

/** Finds an excerpt in an output by its words; null where they are not there. */
export function findExcerpt(excerpt: string, output: string): Found | null {
  const parts: string[] = [];
  const differences: string[] = [];
  let from = 0;
  for (const part of excerpt.split(GAP)) {
    const wanted = part.trim();
    const match = patternOf(wanted).exec(output.slice(from));
    if (match === null) return null;
    const at = from + match.index;
    from = at + match[0].length;
    differences.push(...differencesOf(wanted, match[0]));
    parts.push(wholeLines(output, at, from));
  }
  return { text: parts.join("\n...\n"), differences };
}

function patternOf(excerpt: string): RegExp {
  const words = excerpt.split(/\s+/).map((word) => {
    let pattern = "";
    let done = 0;
    for (const match of word.matchAll(NUMBER)) {
      pattern += `${escaped(word.slice(done, match.index))}[+−-]?\\d(?:[\\d.]*\\d)?`;
      done = match.index + match[0].length;
    }
    return pattern + escaped(word.slice(done));
  });
  return new RegExp(words.join("\\s+"));
}

const escaped = (text: string): string => text.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&");

function differencesOf(excerpt: string, now: string): string[] {
  const before = [...excerpt.matchAll(NUMBER)];
  const after = [...now.matchAll(NUMBER)];
  return before.flatMap((match, i) => {
    const was = match[0];
    const is = after[i]![0];
    const interval = /^\s*±\s*([\d.]*\d)/.exec(excerpt.slice(match.index + was.length));
    const isInterval = /±\s*$/.test(excerpt.slice(0, match.index));
    return agrees(was, is, interval === null ? null : numberOf(interval[1]!), isInterval)
      ? []
      : [`${was} is ${is} now`];
  });
}

const numberOf = (text: string): number => Number(text.replace("−", "-"));

function agrees(was: string, is: string, interval: number | null, isInterval: boolean): boolean {
  const [a, b] = [numberOf(was), numberOf(is)];
  if (isInterval) return b <= 2 * a && a <= 2 * b;
  const decimals = was.split(".")[1]?.length ?? 0;
  const lastDigit = decimals === 0 ? 0 : 10 ** -decimals;
  // Rounding of the two decimal numbers themselves.
  return Math.abs(a - b) <= Math.max(interval ?? 0, lastDigit) * (1 + 1e-9);
}

function wholeLines(text: string, from: number, to: number): string {
  const start = text.lastIndexOf("\n", from) + 1;
  const end = text.indexOf("\n", to);
  return text.slice(start, end < 0 ? text.length : end);
}
