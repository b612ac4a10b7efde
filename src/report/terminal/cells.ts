/** Characters that take two cells: East Asian wide and full-width ones, pictographs (Unicode Standard Annex 11). */
const WIDE =
  /[\u1100-\u115f\u2e80-\ua4cf\uac00-\ud7a3\uf900-\ufaff\ufe30-\ufe6f\uff00-\uff60\uffe0-\uffe6]|\p{Extended_Pictographic}/u;
/** Characters of one cell each that nearly all output is made of; no need to look at them one by one. */
const PLAIN =
  /^[\u0020-\u007e\u00a0\u00b1-\u00b3\u00b7\u00b9\u00d7\u2013\u2019\u2026\u2070\u2074-\u207b\u2212]*$/;
let segmenter: Intl.Segmenter | null = null;

function characters(text: string): string[] {
  if (PLAIN.test(text)) return text.split("");
  segmenter ??= new Intl.Segmenter("en", { granularity: "grapheme" });
  return Array.from(segmenter.segment(text), ({ segment }) => segment);
}

const cellsOf = (character: string) => (WIDE.test(character) ? 2 : 1);

/** Cells that a text without control characters takes on a terminal. */
export function cellWidth(text: string): number {
  if (PLAIN.test(text)) return text.length;
  return characters(text).reduce((sum, character) => sum + cellsOf(character), 0);
}

/**
 * Text that is safe to print: control and direction-changing characters of a file's name or a label become U+FFFD, so
 * that none of them can move the cursor or recolour the screen; typographic minus and fixed spaces become plain ones.
 */
export function printable(text: string): string {
  return (
    text
      // biome-ignore lint/suspicious/noControlCharactersInRegex: these are the characters to replace
      .replace(/[\u0000-\u001f\u007f-\u009f\u200e\u200f\u2028-\u202e\u2066-\u2069]/g, "\ufffd")
      .replace(/\u2212/g, "-")
      .replace(/\u00a0/g, " ")
  );
}

/** Cut to `cells`, the last one an ellipsis where something is lost. */
export function cut(text: string, cells: number): string {
  if (cellWidth(text) <= cells) return text;
  let kept = "";
  let width = 1;
  for (const character of characters(text)) {
    width += cellsOf(character);
    if (width > cells) break;
    kept += character;
  }
  return `${kept}\u2026`;
}

export const padEnd = (text: string, cells: number): string =>
  text + " ".repeat(Math.max(0, cells - cellWidth(text)));

export const padStart = (text: string, cells: number): string =>
  " ".repeat(Math.max(0, cells - cellWidth(text))) + text;

/** Lines of at most `cells` cells, broken at spaces; later lines begin with `indent` spaces. A longer word is cut up. */
export function wrap(text: string, cells: number, indent: number): string[] {
  const lines: string[] = [];
  let line = "";
  const room = () => cells - (lines.length === 0 ? 0 : indent);
  const close = () => {
    lines.push((lines.length === 0 ? "" : " ".repeat(indent)) + line);
    line = "";
  };
  // A fixed space keeps a number and its interval on one line.
  for (let word of text.split(/ +/).map((each) => each.replace(/\u00a0/g, " "))) {
    if (line !== "" && cellWidth(line) + 1 + cellWidth(word) > room()) close();
    while (cellWidth(word) > room()) {
      const head = cut(word, room() + 1).slice(0, -1);
      if (head === "") break;
      line = head;
      word = word.slice(head.length);
      close();
    }
    line = line === "" ? word : `${line} ${word}`;
  }
  close();
  return lines;
}
