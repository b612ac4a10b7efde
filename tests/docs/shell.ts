/** The command lines of a fenced sh block, as far as the documents use the shell. */

export interface ShellLine {
  /** The words of one command, quotes and comments taken off. */
  words: string[];
  /** File after <, or null. */
  stdin: string | null;
  /** File after >, or null. */
  stdout: string | null;
  /** The next command reads what this one prints. */
  piped: boolean;
  /** As it stands in the document. */
  source: string;
}

type Token = { word: string } | { sign: "|" | "&&" | "<" | ">" };

function tokensOf(line: string): Token[] {
  const tokens: Token[] = [];
  // A comment; a sign; or a word of quoted and unquoted pieces.
  const piece = /\s+|#.*$|(&&|[|<>])|((?:'[^']*'|"[^"]*"|[^\s'"|<>&#]|(?<=\S)#)+)/y;
  while (piece.lastIndex < line.length) {
    const at = piece.lastIndex;
    const match = piece.exec(line);
    if (match === null) throw new Error(`cannot read the command line ${line.slice(at)}`);
    const [, sign, word] = match;
    if (sign !== undefined) tokens.push({ sign: sign as "|" });
    else if (word !== undefined) tokens.push({ word: word.replace(/'([^']*)'|"([^"]*)"/g, "$1$2") });
  }
  return tokens;
}

/** The commands of a block, in order; a backslash at the end of a line joins it to the next. */
export function shellLines(block: string): ShellLine[] {
  const lines: ShellLine[] = [];
  for (const source of block.replaceAll("\\\n", " ").split("\n")) {
    let current: ShellLine = { words: [], stdin: null, stdout: null, piped: false, source };
    let redirect: "stdin" | "stdout" | null = null;
    for (const token of tokensOf(source)) {
      if ("word" in token) {
        if (redirect === null) current.words.push(token.word);
        else current[redirect] = token.word;
        redirect = null;
      } else if (token.sign === "<" || token.sign === ">") {
        redirect = token.sign === "<" ? "stdin" : "stdout";
      } else {
        lines.push({ ...current, piped: token.sign === "|" });
        current = { words: [], stdin: null, stdout: null, piped: false, source };
      }
    }
    if (current.words.length > 0) lines.push(current);
  }
  return lines;
}

/** The arguments of a line that runs Ringwright, or null. */
export function ringwrightArguments({ words }: ShellLine): string[] | null {
  const [first, second, ...rest] = words;
  if (first === "ringwright") return words.slice(1);
  return first === "npx" && second === "ringwright" ? rest : null;
}
