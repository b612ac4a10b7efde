import { formatComposition, type ScaleResult, STRIKE_NOTE } from "../../foundry/index.ts";
import type { Estimate } from "../../measurement/index.ts";
import { countOf, estimateText, NOT_MEASURED } from "../numbers.ts";
import type { PlanSheet, SheetTable } from "./sheet.ts";
import { lengthText, massText, temperatureText, type UnitSystem } from "./units.ts";

/** More rows than this do not fit on a page with the rest. */
const MOST_PARTIALS = 8;

/** The next pattern from a measured bell. */
export function scaleSheet(scale: ScaleResult, units: UnitSystem): PlanSheet {
  const { factor, wallFactor, from, targetHz, alloy, temperature, contraction } = scale;
  const bell = from.label || "the measured bell";
  const wanted = scale.targetNote === null ? hertz(targetHz) : `${scale.targetNote}, ${hertz(targetHz)}`;
  const lead = [
    wallFactor === null
      ? `Make every length ${estimateText(factor, "other")} times that of ${bell}, wall included: its ${from.reference} of ${estimateText(from.frequencyHz, "frequency", "Hz")} then comes to ${wanted}.`
      : `Make the wall ${estimateText(wallFactor, "other")} times as thick as that of ${bell} and keep the rest: its ${from.reference} of ${estimateText(from.frequencyHz, "frequency", "Hz")} then comes to ${wanted}. To scale the whole bell instead, the factor is ${estimateText(factor, "other")}.`,
  ];
  const reached = scale.expected.partials.find((partial) => partial.name === from.reference);
  const hit = from.reference === STRIKE_NOTE ? scale.expected.strikeNoteHz : reached?.frequencyHz;
  if (hit) lead.push(`Expect it within ${centsText(hit)} of that before tuning.`);
  if (alloy !== null) {
    lead.push(
      `From ${formatComposition(alloy.from)} to ${formatComposition(alloy.to)} the pitch of one pattern goes by a factor of ${estimateText(alloy.frequencyRatio, "interval")}; it is counted in.`,
    );
  }
  if (temperature !== null) {
    lead.push(
      `Measured at ${temperatureText(temperature.measuredC, units)}, to sound right at ${temperatureText(temperature.playedC, units)}: the pitch goes by a factor of ${estimateText(temperature.frequencyRatio, "interval")}; it is counted in.`,
    );
  }
  return {
    title: `Next pattern: ${wanted} from ${bell}`,
    lead,
    attention: [],
    tables: [lengthsTable(scale, units), expectedTable(scale)],
    notes: scale.notes,
    sources: [
      `Size: ${scale.exponentSource}; exponent ${estimateText(scale.exponent, "other")}${scatterText(scale)}.`,
      ...(scale.wallSource === null ? [] : [`Wall: ${scale.wallSource}.`]),
      ...(alloy === null ? [] : [`Alloy: ${alloy.basis}`]),
      ...(temperature === null ? [] : [`Temperature: ${temperature.source}.`]),
      `Contraction ${estimateText(contraction.percent, "percent", "%")}: ${contraction.source}.`,
      "Expected values hold the spread between two castings of one pattern: 1 % in pitch, 3 % in mass, 30 % in decay (common practice, no source).",
    ],
    cautions: "printed",
  };
}

function scatterText({ family }: ScaleResult): string {
  if (!family?.scatterRelative) return "";
  return `; the bells lie about the line within ${(100 * family.scatterRelative).toFixed(1)} % of frequency (standard deviation)`;
}

/** A relative half-width in cents, whole ones. */
function centsText({ value, ci95 }: Estimate): string {
  return `${Math.round((1200 / Math.LN2) * (ci95 / value))}\u00a0cents`;
}

function hertz(frequencyHz: number): string {
  return `${Number(frequencyHz.toPrecision(6))}\u00a0Hz`;
}

function lengthsTable(scale: ScaleResult, units: UnitSystem): SheetTable {
  const percent = estimateText(scale.contraction.percent, "percent", "%");
  const lengths = scale.lengths.map(({ name, hadM, castingM, patternM }) => [
    name,
    lengthText(hadM, units),
    lengthText(castingM, units),
    lengthText(patternM, units),
  ]);
  const factor =
    scale.wallFactor === null
      ? [
          [
            "any length, as a factor",
            "1",
            estimateText(scale.factor, "other"),
            estimateText(scale.patternFactor, "other"),
          ],
        ]
      : [["wall, as a factor", "1", estimateText(scale.wallFactor, "other"), NOT_MEASURED]];
  const mass = [
    scale.expected.massKg === null
      ? ["mass, as a factor", "1", estimateText(scale.massFactor, "other"), NOT_MEASURED]
      : ["mass", massText(scale.from.massKg, units), massText(scale.expected.massKg, units), NOT_MEASURED],
  ];
  return {
    caption: `Sizes. The pattern is the casting and a contraction of ${percent}; over an old pattern of the measured bell the casting's factor holds.`,
    head: ["size", "measured bell", "new casting", "new pattern"],
    rows: [...lengths, ...factor, ...mass],
  };
}

function expectedTable({ expected }: ScaleResult): SheetTable {
  const named = expected.partials.filter((partial) => partial.name !== null);
  const shown = (named.length > 0 ? named : expected.partials).slice(0, MOST_PARTIALS);
  const left = expected.partials.length - shown.length;
  const unknown = shown.some((partial) => partial.decayTimeS === null)
    ? " No data sheet tells the decay in another alloy."
    : "";
  const more = left > 0 ? ` ${countOf(left, "more partial")} in the JSON.` : "";
  return {
    caption: `What to expect of the casting, before tuning.${unknown}${more}`,
    head: ["partial", "frequency", "falls by 60 dB in"],
    rows: [
      ["strike note", estimateText(expected.strikeNoteHz, "frequency", "Hz"), NOT_MEASURED],
      ...shown.map((partial) => [
        partial.name ?? `partial ${expected.partials.indexOf(partial) + 1}`,
        estimateText(partial.frequencyHz, "frequency", "Hz"),
        estimateText(partial.decayTimeS, "time", "s"),
      ]),
    ],
  };
}
