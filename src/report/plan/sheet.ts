/** A plan as it is read: what the terminal and the printed sheet both draw. Plain text, numbers already written. */
export interface PlanSheet {
  title: string;
  /** What it comes to, first. */
  lead: string[];
  /** What stands in the way; drawn so that it is not overlooked. */
  attention: string[];
  tables: SheetTable[];
  notes: string[];
  /** Where the figures come from. */
  sources: string[];
  /** Where the cautions for molten metal stand: with everything, on the printed sheet alone, or nowhere. */
  cautions: "always" | "printed" | "never";
}

export interface SheetTable {
  caption: string;
  /** The first column is words, the others numbers unless said. */
  head: string[];
  rows: string[][];
  /** Columns of words beside the first. */
  words?: number[];
}
