import { nearHz, type TapMeasurement, type TapPartial } from "../../measurement/index.ts";
import { moreNumbers } from "../figure.ts";
import { foreign, type Html, type HtmlValue, html } from "../html.ts";
import { estimateText, NOT_MEASURED, plainNumber, signedEstimateText, twoDigits } from "../numbers.ts";
import { plainRows, type TableColumn, table } from "../table.ts";
import { noiseAt } from "./charts/spectrum.ts";
import { clockNote, notFound, partialLabel } from "./words.ts";

const number = (head: HtmlValue): TableColumn => ({ head, kind: "number" });
const text = (head: HtmlValue): TableColumn => ({ head, kind: "text" });

const T60 = html`T<sub>60</sub>, s`;

const confidence = ({ nameConfidence: sure }: TapPartial) =>
  sure === null ? NOT_MEASURED : `${Math.round(100 * sure)}\u00a0%`;

/** The table both readers use. */
export function mainTable(m: TapMeasurement): Html {
  const clock = clockNote(m);
  return table({
    caption: html`${m.partials.length} partials. \u00b1 is the half-width of the 95\u00a0% interval. Levels are at the strike, relative to the strongest partial.${clock === null ? null : ` ${clock}`}`,
    name: "Partials",
    columns: [
      text("partial"),
      number("name sure"),
      number("frequency, Hz"),
      number("ratio"),
      number("cents from ideal"),
      number(T60),
      number("level, dB"),
      number("split, Hz"),
    ],
    rows: m.partials.map((p, i) => ({
      cells: [
        foreign(partialLabel(m, i)),
        confidence(p),
        estimateText(p.frequencyHz, "frequency"),
        estimateText(p.ratio, "interval"),
        signedEstimateText(p.deviationCents, "cents"),
        estimateText(p.decayTimeS, "time"),
        estimateText(p.levelDb, "level"),
        estimateText(p.doublet?.splitHz ?? null, "frequency"),
      ],
      mark: i,
    })),
  });
}

/** What the acoustician wants besides: damping, phase, weighted level. */
export function dampingTable(m: TapMeasurement): Html {
  const body = table({
    caption:
      "The ratio that the profile asks for, damping, phase at the strike, and level with A-weighting against the strongest so weighted.",
    name: "Ideal ratio, damping and phase of the partials",
    columns: [
      text("partial"),
      number("ideal ratio"),
      number("Q"),
      number("loss factor"),
      number("phase, rad"),
      number("level, dB(A)"),
    ],
    rows: plainRows(
      m.partials.map((p, i) => [
        foreign(partialLabel(m, i)),
        p.idealRatio === null ? NOT_MEASURED : String(Number(p.idealRatio.toPrecision(6))),
        estimateText(p.q, "damping"),
        estimateText(p.lossFactor, "damping"),
        estimateText(p.phaseRad, "phase"),
        estimateText({ value: p.levelDba, ci95: p.levelDb.ci95 }, "level"),
      ]),
    ),
  });
  return moreNumbers("Ideal ratio, damping, phase, A-weighted level", body);
}

/** What each partial rests on. */
export function evidenceTable(m: TapMeasurement): Html {
  const body = table({
    caption: html`What each line rests on: \u03c1 is the matched-filter signal-to-noise ratio A\u00b2f<sub>s</sub>/(8\u03b1S), the spread is the standard deviation between strikes, m the number of nodal meridians.`,
    name: "Evidence for the partials",
    columns: [
      text("partial"),
      number("m"),
      number("noise there, dB"),
      number("\u03c1"),
      number("spread, Hz"),
      number("spread, s"),
      text("seen again in"),
    ],
    rows: plainRows(
      m.partials.map((p, i) => [
        foreign(partialLabel(m, i)),
        p.nodalMeridians ?? NOT_MEASURED,
        plainNumber(noiseAt(m.curves.spectrum, p.frequencyHz.value), 0),
        twoDigits(p.rho),
        twoDigits(p.strikeSpreadHz),
        twoDigits(p.strikeSpreadS),
        p.seenIn.length === 0 ? NOT_MEASURED : p.seenIn.join(", "),
      ]),
    ),
  });
  return moreNumbers("What each partial rests on", body);
}

/** The members of every split partial. */
export function membersTable(m: TapMeasurement): Html {
  const rows = m.partials.flatMap((p, i) =>
    (p.doublet?.members ?? []).map((member, k) => [
      html`${foreign(partialLabel(m, i))}, member ${k + 1}`,
      estimateText(member.frequencyHz, "frequency"),
      estimateText(member.decayTimeS, "time"),
      estimateText(member.levelDb, "level"),
      estimateText(member.phaseRad, "phase"),
    ]),
  );
  return moreNumbers(
    "The members of every split partial",
    table({
      caption: "Each member is a damped sinusoid of its own.",
      name: "Members of split partials",
      columns: [
        text("member"),
        number("frequency, Hz"),
        number(T60),
        number("level, dB"),
        number("phase, rad"),
      ],
      rows: plainRows(rows),
    }),
  );
}

/** What stands in the spectrum and is not a partial of the bell; null when there is nothing. */
export function otherLinesTable(m: TapMeasurement): Html | null {
  const row = (what: string, kind: string, frequencyHz: number, levelDb: number): HtmlValue[] => [
    foreign(what),
    kind,
    nearHz(frequencyHz),
    plainNumber(levelDb, 0),
  ];
  const rows = [
    ...m.interference.map((line) => row(line.text, line.kind, line.frequencyHz, line.levelDb)),
    ...m.combinations.map((line) => row(line.text, "combination", line.frequencyHz, line.levelDb)),
  ];
  if (rows.length === 0) return null;
  return table({
    caption:
      "Lines of the recording that are not partials to tune. Interference does not come from the bell; combinations are made from stronger partials by the microphone, the air or the bell itself. Frequencies and levels are approximate.",
    name: "Interference and combinations",
    columns: [text("line"), text("kind"), number("near, Hz"), number("about, dB")],
    rows: plainRows(rows),
  });
}

/** What the profile expects and was not found, with how often a careful recording shows it; null when all are there. */
export function notFoundTable(m: TapMeasurement): Html | null {
  const missing = notFound(m);
  if (missing.length === 0) return null;
  return table({
    caption: html`Expected by the profile ${foreign(m.options.profile)}; no line of this recording was given the name.`,
    name: "Expected and not found",
    columns: [text("partial"), number("ideal ratio"), number("m"), number("careful recordings that show it")],
    rows: plainRows(
      missing.map(({ name, idealRatio, nodalMeridians, presence }) => [
        foreign(name),
        String(Number(idealRatio.toPrecision(6))),
        nodalMeridians ?? NOT_MEASURED,
        `${Math.round(100 * presence)}\u00a0%`,
      ]),
    ),
  });
}
