import type { Estimate } from "../../measurement/index.ts";
import type {
  NextCut,
  Projection,
  Sensitivity,
  SeriesBellResult,
  SeriesPassResult,
  SeriesResult,
} from "../../series/index.ts";
import { estimateText, listOf, plainNumber, signedEstimateText } from "../numbers.ts";

/** Cents of a deviation, no finer than can be heard or cut. */
export const centsText = (cents: Estimate | null, unit = ""): string =>
  cents === null ? "\u2013" : signedEstimateText(cents, "cents", unit);

/** The last pass of a bell that could be measured. */
export const lastMeasured = (bell: SeriesBellResult): SeriesPassResult | undefined =>
  bell.passes.findLast(({ measured }) => measured);

/** Names of the partials that any bell has, in the order of the first that has most. */
export function partialNames({ bells }: SeriesResult): string[] {
  const lists = bells.flatMap((bell) => bell.passes.map(({ partials }) => partials.map(({ name }) => name)));
  const longest = lists.reduce<string[]>((a, b) => (b.length > a.length ? b : a), []);
  return [...new Set([...longest, ...lists.flat()])];
}

/** An amount as it is weighed out or measured: it was set by the tool, so it is exact. */
/** A scale or a gauge at a bench shows no more digits than these. */
const shortAmount = (amount: number | null): string =>
  amount === null ? "\u2013" : `${Number(amount.toPrecision(5))}`;

const amountText = (g: number | null, mm: number | null): string =>
  g === null ? `${shortAmount(mm)}\u00a0mm` : `${shortAmount(g)}\u00a0g`;

/** "12 g at the inner lip", or "nothing told". */
export function removedText({ removedG, removedMm, at }: SeriesPassResult): string {
  if (removedG === null && removedMm === null) return "\u2013";
  return `${amountText(removedG, removedMm)}${at === null ? "" : `, ${at}`}`;
}

/** What to do next with a bell, in sentences. */
export function nextCutText({ nextCut, nextCutReason }: SeriesBellResult): string {
  if (nextCut === null) return `no cut: ${nextCutReason}`;
  return `take off ${cutAmountText(nextCut)} at the ${nextCut.at}; the ${nextCut.partial} will then lie ${centsText(nextCut.predictedCents, "cents")} from its target${limitText(nextCut)}`;
}

export const cutAmountText = ({ removeG, removeMm }: NextCut): string => amountText(removeG, removeMm);

function limitText({ limitedBy, outcomes }: NextCut): string {
  const kept = outcomes.filter(({ staysShort }) => staysShort).map(({ partial }) => partial);
  const others = outcomes.filter(({ staysShort }) => !staysShort).map(({ partial }) => partial);
  const stops = `; limited by ${limitedBy}: in 95\u00a0% of outcomes ${listOf(kept)} ${kept.length === 1 ? "stays" : "all stay"} on the near side`;
  return others.length === 0
    ? stops
    : `${stops}; not kept there, being at the target, past it or out of reach: ${listOf(others)}`;
}

/** "-0.52 ± 0.06 cents/g" */
export function sensitivityText({ centsPerG, centsPerMm }: Sensitivity): string {
  return centsPerG === null
    ? signedEstimateText(centsPerMm, "other", "cents/mm")
    : signedEstimateText(centsPerG, "other", "cents/g");
}

export function projectionText({ removeG, removeMm, reason }: Projection): string {
  if (removeG) return estimateText(removeG, "other", "g");
  if (removeMm) return estimateText(removeMm, "other", "mm");
  return reason ?? "";
}

/** A note as it was written, or hertz. */
export function targetText({ target }: SeriesBellResult): string {
  const hertz = Number.parseFloat(target);
  return Number.isNaN(hertz) ? target : `${plainNumber(hertz, 2)}\u00a0Hz`;
}

/** How the targets of the set were laid. */
export function tuningText(result: SeriesResult): string {
  const { temperament, a4Hz, anchor, profile, commonShiftCents } = result;
  const from = temperament.id === "equal" ? "" : ` on ${temperament.tonic}`;
  const base = `${temperament.title}${from}, A4 at ${a4Hz}\u00a0Hz, profile ${profile}`;
  if (commonShiftCents === null) return `${base}.`;
  const shift = centsText(commonShiftCents, "cents");
  return anchor === "set"
    ? `${base}; all targets moved by the best common shift, ${shift}.`
    : `${base}. The best common shift of the set would be ${shift}.`;
}

/** Temperature in the head of the report: noted only, or corrected and by what. */
export function temperatureText({ temperature }: SeriesResult): string | null {
  if (temperature === null) return null;
  const { toC, coefficientPerK, source } = temperature;
  return `Brought to ${toC}\u00a0°C by ${estimateText(coefficientPerK, "other", "per kelvin")} where the pass tells the metal's temperature (${source}).`;
}

/** Where the reader is reminded that two bells measured on one day differ less than on two. */
export const STATED_INTERVALS =
  "\u00b1 is the half-width of the 95\u00a0% interval of the measurement; predictions hold the scatter of cuts and bells too. No interval holds the recorder's own clock, some 0.1\u00a0cents on all frequencies alike (common practice, no source).";
