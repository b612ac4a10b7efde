import { askingFindings, beatPeriod, tunablePartials } from "../../findings/index.ts";
import type {
  Doublet,
  Estimate,
  ExpectedPartial,
  Finding,
  FindingOutcome,
  TapMeasurement,
} from "../../measurement/index.ts";
import { countOf, estimateText, listOf, signedEstimateText } from "../numbers.ts";

/** How the report calls a partial: its name, else its number in the table. */
export function partialLabel(m: { partials: { name: string | null }[] }, index: number): string {
  return m.partials[index]?.name ?? `partial ${index + 1}`;
}

/** The same with where it lies, for a partial without a name whose frequency does not stand beside it. */
export function partialTitle(m: TapMeasurement, index: number): string {
  const partial = m.partials[index];
  const label = partialLabel(m, index);
  if (partial === undefined || partial.name !== null) return label;
  const hertz = partial.frequencyHz.value;
  return `${label}, ${hertz.toFixed(hertz < 1000 ? 1 : 0)}\u00a0Hz`;
}

/** Said where no partial got a name, in place of all that the profile expects. */
export function unnamedNote(m: TapMeasurement): string {
  if (isMixture(m)) return "No partial is named: more than one bell seems to sound.";
  return (
    "No partial could be named: the partials fit no kind of bell well enough. Where you know the kind, choose its profile " +
    "(--profile handbell, tubular, free-bar, thin-ring ...), or name a partial yourself (--pin nominal=HERTZ)."
  );
}

/**
 * A recorder counts time by a crystal, which a measurement cannot see to be off. "Good to some 50 parts in a million" is
 * common practice, no source.
 */
const CLOCK_PPM = 50;

/** What no interval of a frequency holds: the recorder's clock; null where every interval is far wider than that. */
export function clockNote({ partials }: TapMeasurement): string | null {
  const finest = Math.min(...partials.map(({ frequencyHz: { value, ci95 } }) => ci95 / value));
  if (!(finest * 1e6 < 2 * CLOCK_PPM)) return null;
  return `No interval holds the recorder's own clock: it may be off by some ${CLOCK_PPM} parts in a million, 0.1 cents, on all frequencies alike (common practice, no source); ratios are free of it.`;
}

/** The partials that the profile expects and no line of this measurement was named for. */
export function notFound({ expectedPartials, partials }: TapMeasurement): ExpectedPartial[] {
  return expectedPartials.filter(({ name }) => partials.every((partial) => partial.name !== name));
}

/** What the bell is called at the top: the user's label, else the file. */
export function bellLabel(m: TapMeasurement): string {
  const label = m.options.label.trim();
  if (label !== "") return label;
  return m.recording.file === "-" ? "Bell from standard input" : m.recording.file;
}

/** Words for an outcome, so that no reader depends on its colour or sign. */
export const OUTCOME_WORDS: Record<FindingOutcome, string> = {
  attention: "attention",
  good: "good",
  note: "note",
  "not-measurable": "not measurable",
};

/** The findings that say something, what asks for attention first; otherwise in the order given. */
export function judgedFindings(findings: Finding[]): Finding[] {
  const others = (["note", "good"] as const).flatMap((outcome) =>
    findings.filter((finding) => finding.outcome === outcome),
  );
  return [...askingFindings(findings), ...others];
}

/** Findings that could not be judged, those with one reason together. */
export function notMeasurable(findings: Finding[]): { titles: string[]; reason: string }[] {
  const groups: { titles: string[]; reason: string }[] = [];
  for (const { outcome, title, text: reason } of findings) {
    if (outcome !== "not-measurable") continue;
    const same = groups.find((group) => group.reason === reason);
    if (same === undefined) groups.push({ titles: [title], reason });
    else same.titles.push(title);
  }
  return groups;
}

/** "2 members 0.420 ± 0.033 Hz apart: one beat in 2.38 ± 0.19 s, about 13 dB deep". The period follows from the split. */
export function beatText({ members, splitHz, beatDepthDb }: Doublet): string {
  const split = estimateText(splitHz, "frequency", "Hz");
  const depth = `about ${Math.round(beatDepthDb)}\u00a0dB deep`;
  if (members.length > 2) return `${members.length} members over ${split}, beats ${depth}`;
  const apart = `${countOf(members.length, "member")} ${split} apart`;
  // An interval that reaches zero leaves the beat open, so it is not given.
  if (splitHz.value <= splitHz.ci95) return apart;
  const period = beatPeriod(splitHz);
  if (splitHz.value >= 1 || period === null) return `${apart}, as many beats a second, ${depth}`;
  return `${apart}: one beat in ${estimateText(period, "time", "s")}, ${depth}`;
}

/** Titles of findings that the line under the one sentence holds at most. */
const MOST_TITLES = 3;

/** What asks for attention, on a line of its own where text alone is shown; null where nothing does. */
export function attentionLine(findings: Finding[]): string | null {
  const titles = askingFindings(findings).map(({ title }) => title);
  if (titles.length === 0) return null;
  const rest = titles.length > MOST_TITLES ? [`and ${titles.length - MOST_TITLES} more`] : [];
  return `For attention: ${[...titles.slice(0, MOST_TITLES), ...rest].join("; ")}.`;
}

function noteClause({ strikeNote }: TapMeasurement, withCents: boolean): string {
  if (strikeNote === null) return "has no strike note that could be told";
  const { note, frequencyHz, cents } = strikeNote;
  const off = withCents ? ` ${signedEstimateText(cents, "cents", "cents")}` : "";
  return `sounds ${note}${off} (${estimateText(frequencyHz, "frequency", "Hz")})`;
}

/** Said where the tool itself found another kind than the church bell that everything else is taken for. */
function kindClause({ kind, options }: TapMeasurement): string[] {
  if (kind?.chosenBy !== "recognised" || options.profile === "minor-third") return [];
  const title = /^[A-Z][a-z]+ (bell|bar|ring)$/.test(kind.title) ? kind.title.toLowerCase() : kind.title;
  const rule = kind.strikeHalfOf === null ? "" : `, whose strike note is half of ${kind.strikeHalfOf}`;
  return [`has the modes of ${/^[aeiou]/i.test(title) ? "an" : "a"} ${title}${rule}`];
}

function partialsClause(m: TapMeasurement): string {
  const named = m.partials.filter((p) => p.name !== null).length;
  const split = m.partials.filter((p) => p.doublet !== null).length;
  const namedWords =
    named === 0 ? "none named" : named === m.partials.length ? "all named" : `${named} named`;
  const parts = [namedWords, ...(split > 0 ? [`${split} split in two or more`] : [])];
  return `shows ${countOf(m.partials.length, "partial")} (${parts.join(", ")})`;
}

/** From the flattest to the sharpest of the partials that the tuning is judged by; the rim's follow one another and are left out. */
function deviationClause(m: TapMeasurement): string {
  const cents = tunablePartials(m.partials)
    .map((p) => p.deviationCents)
    .sort((a, b) => a.value - b.value);
  const text = (estimate: Estimate) => signedEstimateText(estimate, "cents", "cents");
  if (cents.length === 0) return "";
  if (cents.length === 1) return `; it lies ${text(cents[0]!)} from its ideal`;
  return `; those that are tuned one by one lie from ${text(cents[0]!)} to ${text(cents.at(-1)!)} against their ideals`;
}

/** Whether more than one bell seems to sound: then there is no strike note to tell. */
export function isMixture({ findings }: TapMeasurement): boolean {
  return findings.some(({ id, outcome }) => id === "second-bell" && outcome === "attention");
}

/**
 * The measurement in one sentence, without the full stop, put together from its values alone.
 *
 * @param withCents whether to say how far the strike note lies from the note; false where that stands beside the sentence
 */
export function headline(m: TapMeasurement, subject: string, withCents: boolean): string {
  if (m.partials.length === 0) {
    return `${subject} gave no partial that could be measured: ${m.fit.stopReason}`;
  }
  if (!m.fit.freeDecay) {
    const peaks = countOf(m.partials.length, "visible peak");
    return `${subject} does not ring as a sum of free decays; ${peaks} with wide intervals ${m.partials.length === 1 ? "is" : "are"} listed`;
  }
  if (isMixture(m)) {
    return `${subject} sounds like more than one bell: ${countOf(m.partials.length, "partial")} are listed, but a mixture has no note and no tuning`;
  }
  const rings =
    m.sustain.t60S === null
      ? []
      : [`falls by 60\u00a0dB in ${estimateText(m.sustain.t60S, "time", "s")} as a whole`];
  const body = listOf([...kindClause(m), noteClause(m, withCents), ...rings, partialsClause(m)]);
  return `${subject} ${body}${deviationClause(m)}`;
}
