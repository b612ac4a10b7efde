import { decimals, markdownTable } from "../bench/markdown.ts";
import type { ShedResult } from "./job.ts";

const HEAD = [
  "kind",
  "recordings",
  "must-see missed",
  "strong missed",
  "ghosts each",
  "sidebands each",
  "f held, %",
  "T60 held, %",
  "names right",
  "wrong",
  "withheld",
  "note right",
  "no free decay",
  "attention each",
  "words, median",
  "CPU s",
];

/** One row a kind and place, and one over all. */
export function shedTable(all: ShedResult[]): string {
  return markdownTable(
    HEAD,
    groupsOf(all).map(([label, group]) => rowOf(label, group)),
  );
}

/** The same, each cell before and after. */
export function comparedTable(before: ShedResult[], after: ShedResult[]): string {
  const old = new Map(groupsOf(before).map(([label, group]) => [label, rowOf(label, group)]));
  const rows = groupsOf(after).map(([label, group]) =>
    rowOf(label, group).map((cell, c) => {
      const was = old.get(label)?.[c];
      return was === undefined || was === cell ? cell : `${was} -> ${cell}`;
    }),
  );
  return markdownTable(HEAD, rows);
}

function groupsOf(all: ShedResult[]): [string, ShedResult[]][] {
  const groups = new Map<string, ShedResult[]>();
  for (const r of all) {
    const label = r.kind === r.place ? r.kind : `${r.kind}, ${r.place}`;
    groups.set(label, [...(groups.get(label) ?? []), r]);
  }
  return groups.size > 1 ? [...groups, ["all", all]] : [...groups];
}

function rowOf(label: string, group: ShedResult[]): string[] {
  const sum = (of: (r: ShedResult) => number) => group.reduce((total, r) => total + of(r), 0);
  const each = (of: (r: ShedResult) => number) => decimals(sum(of) / group.length, 2);
  const names = group.flatMap((r) => r.names);
  const verdicts = ["right", "wrong", "withheld"].map(
    (v) => `${names.filter((n) => n.verdict === v).length}`,
  );
  const share = (of: (r: ShedResult) => { held: number; of: number }) =>
    decimals((100 * sum((r) => of(r).held)) / sum((r) => of(r).of), 0);
  const withNote = group.filter((r) => r.note.isHz !== null);
  const words = group.map((r) => r.words).sort((a, b) => a - b);
  return [
    label,
    `${group.length}`,
    `${sum((r) => r.missed.length)}/${sum((r) => r.mustSee)}`,
    `${sum((r) => r.strongMissed)}/${sum((r) => r.strong)}`,
    each((r) => r.ghosts.length),
    each((r) => r.sidebands.length),
    share((r) => r.frequency),
    share((r) => r.decay),
    ...verdicts,
    `${withNote.filter((r) => r.note.right).length}/${withNote.length}`,
    `${group.filter((r) => !r.freeDecay).length}`,
    each((r) => r.attention.length),
    `${words[words.length >> 1]}`,
    each((r) => r.cpuS),
  ];
}

/** Every finding that asks for attention: at recordings with a fault that it tells, without, and where it is silent. */
export function findingTable(all: ShedResult[]): string {
  const ids = [...new Set(all.flatMap((r) => r.attention.map((f) => f.id)))].sort();
  const kinds = [...new Set(all.map((r) => r.kind))];
  const rows = ids.map((id) => [
    id,
    ...kinds.map((kind) => {
      const of = all.filter((r) => r.kind === kind);
      return `${of.filter((r) => r.attention.some((f) => f.id === id)).length}/${of.length}`;
    }),
  ]);
  return rows.length === 0
    ? "no finding asks for attention"
    : markdownTable(["asks for attention", ...kinds], rows);
}
