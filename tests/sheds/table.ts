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

/** The finding that tells of a fault, and whether a note is enough. */
const TELLS: Record<string, { id: string; noteIsEnough: boolean }> = {
  cracked: { id: "soundness", noteIsEnough: false },
  porous: { id: "soundness", noteIsEnough: false },
  bounced: { id: "strike", noteIsEnough: false },
  clipped: { id: "clipping", noteIsEnough: true },
  gain: { id: "gain-control", noteIsEnough: true },
};

/**
 * Every finding that asks for attention: where it tells a fault that is there, where it is silent on one, and where there is
 * none, by kind. What may be asked for in any recording (length, noise, warble) has no truth here: it is counted alone.
 */
export function findingTable(all: ShedResult[]): string {
  const kinds = [...new Set(all.map((r) => r.kind))];
  const ids = [...new Set(all.flatMap((r) => r.attention.map((f) => f.id)))];
  for (const { id } of Object.values(TELLS)) if (!ids.includes(id)) ids.push(id);
  const rows = ids.sort().map((id) => {
    const isTold = (r: ShedResult) => r.attention.some((f) => f.id === id);
    const tells = (r: ShedResult) => r.faults.some((fault) => TELLS[fault]?.id === id);
    const isEnough = (r: ShedResult) =>
      isTold(r) ||
      (r.faults.some((fault) => TELLS[fault]?.id === id && TELLS[fault].noteIsEnough) &&
        r.noted.includes(id));
    const there = all.filter(tells);
    const without = all.filter((r) => !tells(r));
    const mistaken = kinds.flatMap((kind) => {
      const of = without.filter((r) => r.kind === kind);
      const count = of.filter(isTold).length;
      return count === 0 ? [] : [`${kind} ${count}/${of.length}`];
    });
    const seen = there.filter(isEnough).length;
    return [
      id,
      there.length === 0 ? "-" : `${seen}`,
      there.length === 0 ? "-" : `${there.length - seen}`,
      `${without.filter(isTold).length}/${without.length}`,
      mistaken.join(", "),
    ];
  });
  const sound = all.filter((r) => r.faults.length === 0 && r.place === "shed");
  const calls = sound.reduce((sum, r) => sum + r.attention.length, 0);
  return [
    markdownTable(["asks for attention", "true", "silent", "not of its kind", "in"], rows),
    ...(sound.length === 0
      ? []
      : [
          `calls for attention on sound castings in a shed: ${decimals(calls / sound.length, 2)} a recording`,
        ]),
  ].join("\n\n");
}
