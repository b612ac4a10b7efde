/** What a reader sees: texts and descriptions, without scripts, styles, drawings' coordinates and what the data block holds. */
export const shown = (document: string): string =>
  document
    .replace(/<(script|style|svg)\b[\s\S]*?<\/\1>/g, " ")
    .replace(/<wbr>/g, "")
    .replace(/<sup>|<sub>/g, "_")
    .replace(/ aria-label="([^"]*)"/g, "> $1 <")
    .replace(/<[^>]*>/g, " ")
    .replace(/&[a-z]+;|&#39;/g, " ")
    .replace(/\u00a0/g, " ")
    .replace(/\u2212/g, "-");

/** A page of a terminal on one line, its columns of intervals written as its sentences are. */
export const onOneLine = (printed: string): string => printed.replace(/\s+/g, " ").replace(/ ± ?/g, " ± ");

export const NUMBER = String.raw`-?\d+(?:\.\d+)?`;
/** A value, its half-width, and the unit behind where there is one. */
export const WITH_INTERVAL = new RegExp(
  `(${NUMBER}) ± (${NUMBER})(?: (Hz|beats a second|cents|s|dB|%)(?![\\w/]))?`,
  "g",
);

const decimalsOf = (text: string): number => text.split(".")[1]?.length ?? 0;
export const significantOf = (text: string): number => text.replace(/[-.]/g, "").replace(/^0+/, "").length;
/** Of a number without an interval: zeros at the end of a whole number are places, not digits. */
export const digitsOf = (text: string): number =>
  significantOf(text.includes(".") ? text : text.replace(/0+$/, ""));

/** Under these lies what nobody hears, cuts or repeats: docs/reading-guide.md, "What ± means". */
const FINEST: Record<string, number> = {
  Hz: 0.001,
  "beats a second": 0.001,
  cents: 0.1,
  s: 0.001,
  dB: 0.1,
  "%": 0.001,
};

/** What is wrong with a value and its interval as written, or null. JCGM 100:2008 (GUM), 7.2.6: two digits of the interval, the value to the same place. */
export function fault(value: string, ci95: string, unit?: string): string | null {
  if (decimalsOf(value) !== decimalsOf(ci95)) return "value and interval end at different digits";
  if (!(Number(ci95) > 0)) return "an interval of nothing";
  if (Number(ci95) < (FINEST[unit ?? ""] ?? 0)) return "an interval finer than matters";
  if (decimalsOf(ci95) > 0) {
    const digits = significantOf(ci95);
    // One digit only where the value has all ten that it can have.
    if (digits !== 2 && !(digits === 1 && significantOf(value) >= 10))
      return `${digits} digits of an interval`;
    return null;
  }
  return significantOf(ci95.replace(/0+$/, "")) <= 2 ? null : "more than two digits of an interval";
}

/** Every value with an interval in a text, and what is wrong with those that are not written as they should be. */
export function faultsIn(text: string): { count: number; faults: string[] } {
  const found = [...text.matchAll(WITH_INTERVAL)];
  const faults = found.flatMap(([all, value, ci95, unit]) => {
    const wrong = fault(value!, ci95!, unit);
    return wrong === null ? [] : [`${all}: ${wrong}`];
  });
  return { count: found.length, faults };
}

/** Numbers that stand without an interval, each with the words around it. */
export function bareNumbers(text: string): { number: string; context: string }[] {
  const bare = text.replace(WITH_INTERVAL, " ").replace(/\d+\.\d+\.\d+|\d{4}-\d\d-\d\d/g, " ");
  return [...bare.matchAll(new RegExp(`(?<![\\w.])${NUMBER}(?![\\w.])`, "g"))].map((match) => ({
    number: match[0],
    context: bare.slice(Math.max(0, match.index - 60), match.index + 40).replace(/\s+/g, " "),
  }));
}

const UNIT_OF_HEAD: [RegExp, string][] = [
  [/\bHz$/, "Hz"],
  [/\bcents( from ideal)?$/, "cents"],
  [/(,| )s$|^seconds/, "s"],
  [/\bdB$/, "dB"],
  [/, %$/, "%"],
];

/** Cells of a page's tables that are finer than the unit in the head of their column has them. */
export function faultsInTables(document: string): { count: number; faults: string[] } {
  let count = 0;
  const faults: string[] = [];
  for (const [table] of document.matchAll(/<table>[\s\S]*?<\/table>/g)) {
    const cellsOf = (row: string) =>
      [...row.matchAll(/<t[hd]\b[^>]*>([\s\S]*?)<\/t[hd]>/g)].map(([, cell]) =>
        shown(cell!).replace(/_/g, "").trim(),
      );
    const [heads = [], ...rows] = [...table.matchAll(/<tr\b[^>]*>[\s\S]*?<\/tr>/g)].map(([row]) =>
      cellsOf(row),
    );
    for (const row of rows) {
      for (const [i, cell] of row.entries()) {
        const unit = UNIT_OF_HEAD.find(([head]) => head.test(heads[i]!))?.[1];
        for (const [all, value, ci95] of unit === undefined ? [] : cell.matchAll(WITH_INTERVAL)) {
          count++;
          const wrong = fault(value!, ci95!, unit);
          if (wrong !== null) faults.push(`${heads[i]}: ${all}: ${wrong}`);
        }
      }
    }
  }
  return { count, faults };
}
