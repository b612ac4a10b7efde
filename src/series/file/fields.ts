import { closest, distance } from "fastest-levenshtein";
import { type Document, isMap, type LineCounter } from "yaml";
import { SeriesFileError } from "../error.ts";

export type Path = readonly (string | number)[];

/** Where in a parsed file the reader stands; every complaint names the line. */
export class Fields {
  readonly path: Path;
  private readonly document: Document;
  private readonly lines: LineCounter;

  constructor(document: Document, lines: LineCounter, path: Path = []) {
    this.document = document;
    this.lines = lines;
    this.path = path;
  }

  at(...more: Path): Fields {
    return new Fields(this.document, this.lines, [...this.path, ...more]);
  }

  /** Line of the value, or of the nearest thing around it, from 1. */
  get line(): number {
    for (let length = this.path.length; length >= 0; length--) {
      const path = this.path.slice(0, length);
      const node = length === 0 ? this.document.contents : this.document.getIn(path, true);
      const range = (node as { range?: [number, number, number] } | null | undefined)?.range;
      if (range) return this.lines.linePos(range[0]).line;
    }
    return 1;
  }

  /** "bells[1].passes[0].removedG" */
  get name(): string {
    return this.path.reduce<string>(
      (text, step) =>
        typeof step === "number" ? `${text}[${step}]` : text === "" ? step : `${text}.${step}`,
      "",
    );
  }

  get value(): unknown {
    const node = this.path.length === 0 ? this.document.contents : this.document.getIn(this.path, true);
    return (node as { toJS?: (document: Document) => unknown } | undefined)?.toJS?.(this.document);
  }

  fail(expected: string): never {
    throw new SeriesFileError(
      `line ${this.line}: ${this.name || "the file"} is ${shown(this.value)}; ${expected}`,
    );
  }

  /** Refuses a value that is no map, and keys that nobody reads. */
  knowsOnly(keys: readonly string[]): void {
    const { value } = this;
    if (typeof value !== "object" || value === null || Array.isArray(value)) {
      this.fail(`write a map with ${keys.slice(0, 3).join(", ")} and so on`);
    }
    for (const key of Object.keys(value)) {
      if (keys.includes(key)) continue;
      const near = closest(key, [...keys]);
      const guess = distance(key, near) <= 3 ? `did you mean ${near}?` : `known here: ${keys.join(", ")}`;
      const node = this.path.length === 0 ? this.document.contents : this.document.getIn(this.path, true);
      const pair = isMap(node) ? node.items.find((item) => String(item.key) === key) : undefined;
      const start = (pair?.key as { range?: [number, number, number] } | undefined)?.range?.[0] ?? 0;
      const where = this.name === "" ? key : `${this.name}.${key}`;
      throw new SeriesFileError(
        `line ${this.lines.linePos(start).line}: ${where} is not a field of a series file; ${guess}`,
      );
    }
  }

  text(): string | null {
    const { value } = this;
    if (value === undefined || value === null) return null;
    if (typeof value === "string" && value.trim() !== "") return value.trim();
    if (typeof value === "number") return String(value);
    return this.fail("write a text");
  }

  needText(example: string): string {
    return this.text() ?? this.fail(`write ${example}`);
  }

  number(low: number, high: number, unit: string): number | null {
    const { value } = this;
    if (value === undefined || value === null) return null;
    if (typeof value === "number" && value >= low && value <= high) return value;
    return this.fail(`write ${unit} from ${low} to ${high}`);
  }

  oneOf<Word extends string>(words: readonly Word[], otherwise: Word): Word {
    const text = this.text();
    if (text === null) return otherwise;
    return words.find((word) => word === text) ?? this.fail(`write ${words.join(" or ")}`);
  }

  /** The places of a list; [] where there is none. */
  list(): Fields[] {
    const { value } = this;
    if (value === undefined || value === null) return [];
    if (!Array.isArray(value)) this.fail("write a list");
    return value.map((_, i) => this.at(i));
  }
}

const MOST_SHOWN = 40;

function shown(value: unknown): string {
  if (value === undefined || value === null) return "missing";
  if (typeof value === "string")
    return `"${value.length > MOST_SHOWN ? `${value.slice(0, MOST_SHOWN)}...` : value}"`;
  if (Array.isArray(value)) return `a list of ${value.length}`;
  return typeof value === "object" ? "a map" : String(value);
}
