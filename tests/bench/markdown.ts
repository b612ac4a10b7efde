/** A table for the terminal that is also Markdown: columns padded, numbers to the right. */
export function markdownTable(head: string[], rows: string[][]): string {
  const width = head.map((title, c) => Math.max(3, title.length, ...rows.map((row) => row[c].length)));
  const line = (cells: string[]) =>
    `| ${cells.map((cell, c) => (c === 0 ? cell.padEnd(width[c]) : cell.padStart(width[c]))).join(" | ")} |`;
  const rule = `| ${width.map((w, c) => (c === 0 ? "-".repeat(w) : `${"-".repeat(w - 1)}:`)).join(" | ")} |`;
  return [line(head), rule, ...rows.map(line)].join("\n");
}

/** A number to `digits` decimals; "-" where nothing was measured. */
export function decimals(value: number | null, digits: number): string {
  return value === null || !Number.isFinite(value) ? "-" : value.toFixed(digits);
}
