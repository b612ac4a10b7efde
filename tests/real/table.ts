import { decimals, markdownTable } from "../bench/markdown.ts";
import type { RealScore } from "./score.ts";

/** One recording, scored, and what measuring it cost. */
export interface ScoredRecording extends RealScore {
  name: string;
  refused: string | null;
  cpuS: number;
  wallS: number;
  peakMiB: number;
}

/** The whole as text: each recording, then names, findings and sums. */
export function realTables(all: ScoredRecording[]): string {
  const count = <T>(items: T[], holds: (item: T) => boolean) => items.filter(holds).length;
  const hz = (value: number | null) => (value === null ? "none" : `${decimals(value, 1)} Hz`);
  const rows = all.map((r) => {
    const names = Object.values(r.names);
    const verdicts = ["right", "wrong", "withheld"].map((v) => `${count(names, (n) => n.verdict === v)}`);
    return [
      r.name,
      `${r.missed.length}/${r.lines}`,
      ...verdicts,
      r.note.right ? "right" : `${hz(r.note.saidHz)}, is ${hz(r.note.isHz)}`,
      r.freeDecay ? "" : r.refused === null ? "no" : "refused",
      `${r.attention.length}`,
      decimals(r.cpuS, 1),
      decimals(r.wallS, 1),
      decimals(r.peakMiB, 0),
    ];
  });
  const total = (of: (r: ScoredRecording) => number) => all.reduce((sum, r) => sum + of(r), 0);
  const most = (of: (r: ScoredRecording) => number) => Math.max(...all.map(of));
  const head = [
    "recording",
    "missed",
    "right",
    "wrong",
    "withheld",
    "strike note",
    "free decay",
    "attention",
  ];
  const parts = [markdownTable([...head, "CPU s", "wall s", "peak MiB"], rows)];

  const order = [...new Set(all.flatMap((r) => Object.keys(r.names)))];
  const names = order.map((name) => {
    const verdicts = all.flatMap((r) => (name in r.names ? [r.names[name].verdict] : []));
    const share = (v: string) => `${count(verdicts, (each) => each === v)}`;
    return [name, `${verdicts.length}`, share("right"), share("wrong"), share("withheld")];
  });
  parts.push(markdownTable(["name", "there", "right", "wrong", "withheld"], names));

  const titles = new Map<string, string[]>();
  for (const r of all) {
    for (const { title } of r.attention) {
      const short = title.split(":")[0];
      titles.set(short, [...(titles.get(short) ?? []), r.name]);
    }
  }
  const findings = [...titles]
    .sort((a, b) => b[1].length - a[1].length)
    .map(([title, which]) => [title, `${which.length}`, which.join(" ")]);
  if (findings.length > 0) parts.push(markdownTable(["asks for attention", "count", "in"], findings));

  const missed = all.flatMap((r) => r.missed.map((l) => `${r.name} ${l.hz} Hz ${l.db} dB`));
  const wrongNames = all.flatMap((r) =>
    Object.entries(r.names)
      .filter(([, n]) => n.verdict === "wrong")
      .map(([name, n]) => `${r.name} ${name}: ${hz(n.saidHz)}, is ${hz(n.isHz)}`),
  );
  const wrongNotes = all.filter((r) => !r.note.right);
  const list = (items: string[]) => (items.length === 0 ? "" : `: ${items.join("; ")}`);
  parts.push(
    [
      `lines missed within 35 dB: ${missed.length} of ${total((r) => r.lines)}${list(missed)}`,
      `wrong names: ${wrongNames.length}${list(wrongNames)}`,
      `strike notes wrong: ${wrongNotes.length} of ${all.length}${list(
        wrongNotes.map((r) => `${r.name} ${hz(r.note.saidHz)}, is ${hz(r.note.isHz)}`),
      )}`,
      `said to be no free decay: ${count(all, (r) => !r.freeDecay)}${list(
        all.filter((r) => !r.freeDecay).map((r) => r.name + (r.refused === null ? "" : ` (${r.refused})`)),
      )}`,
      `calls for attention a recording: ${decimals(total((r) => r.attention.length) / all.length, 2)}`,
      `CPU: ${decimals(
        total((r) => r.cpuS),
        1,
      )} s in all, ${decimals(
        most((r) => r.cpuS),
        1,
      )} s at most; peak memory: ${decimals(
        most((r) => r.peakMiB),
        0,
      )} MiB at most`,
    ].join("\n"),
  );
  return parts.join("\n\n");
}
