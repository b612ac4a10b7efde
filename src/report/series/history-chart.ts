import type { SeriesBellResult } from "../../series/index.ts";
import { roundUp } from "../axes.ts";
import type { ChartSpec, LineLook } from "../chart-spec.ts";
import type { LegendEntry } from "../figure.ts";
import { centsText } from "./words.ts";

/** The axis reaches so far on either side at least: a narrower one would make a few cents look like a fault. */
const LEAST_CENTS = 10;
const HEIGHT_PX = 340;
/** Each has its own dash; names stand at the ends too, so that more than five can be told apart. */
const LOOKS: LineLook[] = ["together", "model", "member", "other-member", "measured"];
/** Names at the ends stay this part of the axis apart. */
const LEAST_GAP = 0.06;

export const historyId = (bell: number): string => `history-${bell + 1}`;

/** Cents against pass for each partial of a bell; null where fewer than two passes were measured. */
export function historyChart(bell: SeriesBellResult, index: number): ChartSpec | null {
  const passes = bell.passes
    .map((pass, i) => ({ ...pass, number: i + 1 }))
    .filter(({ measured }) => measured);
  if (passes.length < 2) return null;
  const names = [...new Set(passes.flatMap(({ partials }) => partials.map(({ name }) => name)))];
  const centsOf = (pass: (typeof passes)[number], partial: string) =>
    pass.partials.find(({ name }) => name === partial)?.deviationCents ?? null;
  const ends95 = passes.flatMap(({ partials }) =>
    partials.flatMap(({ deviationCents: { value, ci95 } }) => [value - ci95, value + ci95]),
  );
  const top = roundUp(Math.max(LEAST_CENTS, ...ends95));
  const bottom = -roundUp(Math.max(LEAST_CENTS, ...ends95.map((cents) => -cents)));
  const first = passes[0]!.number;
  const last = passes.at(-1)!.number;
  const room = 0.5 * (last - first);
  const ends = endLabels(
    names.flatMap((name) => {
      const cents = centsOf(passes.at(-1)!, name);
      return cents === null ? [] : [{ name, at: cents.value }];
    }),
    (top - bottom) * LEAST_GAP,
  );
  return {
    id: historyId(index),
    heightPx: HEIGHT_PX,
    x: {
      title: "pass",
      scale: "linear",
      min: first - 0.1,
      max: last + room,
      ticks: passes.map(({ number }) => ({ at: number, text: String(number) })),
    },
    y: { title: "cents from target", scale: "linear", min: bottom, max: top, ticks: null },
    lines: [
      { look: "noise", x: [first - 0.1, last + room], y: [0, 0], mark: null, onlyChosen: false },
      ...names.map((name, i) => ({
        look: LOOKS[i % LOOKS.length]!,
        x: passes.map(({ number }) => number),
        y: passes.map((pass) => centsOf(pass, name)?.value ?? null),
        mark: null,
        onlyChosen: false,
      })),
    ],
    points: names.flatMap((name) =>
      passes.flatMap((pass) => {
        const cents = centsOf(pass, name);
        if (cents === null) return [];
        return [
          {
            look: "partial" as const,
            x: pass.number,
            y: cents.value,
            ci95X: null,
            label: pass.number === last ? (ends.get(name) ?? "") : "",
            tip: [`${name}, pass ${pass.number}: ${centsText(cents, "cents")}`],
            mark: null,
          },
        ];
      }),
    ),
    labels: "beside",
    ruleX: null,
  };
}

/** What is written at the ends of the lines: names that would run into each other stand together at one of them. */
export function endLabels(ends: readonly { name: string; at: number }[], gap: number): Map<string, string> {
  const groups: { name: string; at: number }[][] = [];
  for (const end of [...ends].sort((a, b) => b.at - a.at)) {
    const group = groups.at(-1);
    if (group && group[0]!.at - end.at < gap) group.push(end);
    else groups.push([end]);
  }
  return new Map(
    groups.map((group) => [group[(group.length - 1) >> 1]!.name, group.map(({ name }) => name).join(", ")]),
  );
}

/** The lines' samples, in the order that {@link historyChart} draws them. */
export function historyLegend(bell: SeriesBellResult): LegendEntry[] {
  const names = [...new Set(bell.passes.flatMap(({ partials }) => partials.map(({ name }) => name)))];
  return names.map((text, i) => ({ look: LOOKS[i % LOOKS.length]!, text }));
}
