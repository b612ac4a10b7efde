import type { ForecastDocument, ForecastDoublet, ForecastMode } from "../../shape/index.ts";
import { estimateText, NOT_MEASURED, plainNumber } from "../numbers.ts";
import type { PlanSheet, SheetTable } from "../plan/sheet.ts";

/** Partials shown; the rest is in the JSON. */
const SHOWN_BELOW_RATIO = 8;
const MOST_SHOWN = 14;

const CENTS = 1200 / Math.LN2;

/** A half-width of a frequency in whole cents. */
export function centsWide({ value, ci95 }: { value: number; ci95: number }): number {
  return CENTS * Math.log1p(ci95 / value);
}

/** What a mode is called: its name, or its waves and order. */
export function modeLabel({ name, m, order }: Pick<ForecastMode, "name" | "m" | "order">): string {
  return name ?? `m ${m}, order ${order}`;
}

/** The partials that are heard, from the lowest: what has two waves around or more. */
export function heardModes({ modes, reference }: ForecastDocument): ForecastMode[] {
  const limit = SHOWN_BELOW_RATIO * modes[reference]!.frequencyHz.value;
  return modes
    .filter(({ m, frequencyHz }) => m >= 2 && frequencyHz.value <= limit)
    .sort((a, b) => a.frequencyHz.value - b.frequencyHz.value)
    .slice(0, MOST_SHOWN);
}

/** A forecast as it is read. */
export function forecastSheet(document: ForecastDocument): PlanSheet {
  const { profile, metal, modes, reference, calibration } = document;
  const heard = heardModes(document);
  const widest = Math.max(...heard.map(({ frequencyHz }) => centsWide(frequencyHz)));
  const ratios = heard.filter((mode) => mode !== modes[reference]).map(({ ratio }) => centsWide(ratio));
  return {
    title: `Forecast: ${profile.file}`,
    lead: [
      `${profile.file} rings with its ${modeLabel(modes[reference]!)} at ${estimateText(modes[reference]!.frequencyHz, "frequency", "Hz")} and weighs ${estimateText(document.massKg, "other", "kg")}.`,
      `Expect the note within ${Math.round(widest)} cents and the ratios within ${Math.round(Math.max(...ratios))}: ${largestShare(heard)}.`,
    ],
    attention: [],
    tables: [
      partialsTable(document, heard),
      sharesTable(heard),
      ...(document.doublets.length === 0 ? [] : [doubletsTable(document)]),
      ...(calibration === null ? [] : [calibrationTable(document)]),
      sensitivityTable(document, heard),
    ],
    notes: [
      ...profile.notes.flatMap(({ code, numbers }) => profileNote(code, numbers) ?? []),
      `Mouth ${plainNumber(document.mouthMm, 1)} mm, height ${plainNumber(document.heightMm, 1)} mm, soundbow ${plainNumber(document.soundbow.thicknessMm, 2)} mm thick; the centre of gravity lies ${plainNumber(document.centreOfGravityMm, 1)} mm over the lip.`,
      document.heldCrownMm === null
        ? "The bell hangs free."
        : `The crown is held within ${plainNumber(document.heldCrownMm, 1)} mm of the axis.`,
      ...(profile.contraction === null
        ? []
        : [
            `The profile is the pattern's; the casting is smaller by a contraction of ${estimateText({ value: 100 * profile.contraction.value, ci95: 100 * profile.contraction.ci95 }, "percent", "%")}.`,
          ]),
    ],
    sources: [
      `Metal: ${metal.source}: E ${estimateText(metal.youngGPa, "other", "GPa")}, density ${estimateText(metal.densityKgM3, "other", "kg/m³")}, Poisson's ratio ${estimateText(metal.poisson, "other")}.`,
      `Mesh: ${document.mesh.along} by ${document.mesh.through} elements, which err by less than ${plainNumber(Math.max(0.1, Math.ceil(10 * document.mesh.errorCents) / 10), 1)} cents.`,
    ],
    cautions: "never",
  };
}

/** What was done to the profile while it was read, in a sentence; nothing for a code that is not known here. */
function profileNote(code: string, numbers: readonly number[]): string | null {
  const [from, to] = numbers.map((each) => plainNumber(each, 0));
  if (code === "left-out") {
    return `Between ${from} and ${to} mm over the lip something other than the two walls stands on the pattern, such as a loop, a lug or lettering: it is left out of the partials and of the mass.`;
  }
  if (code === "stem") return `What stands on the crown within ${from} mm of the axis is left out.`;
  return null;
}

const CAUSES: Record<keyof ForecastMode["shares"], string> = {
  young: "Young's modulus",
  density: "the density",
  poisson: "Poisson's ratio",
  size: "the size",
  wall: "the wall",
  mesh: "the mesh",
  air: "the air",
};

const CAUSE_IDS = Object.keys(CAUSES) as (keyof ForecastMode["shares"])[];

/** What most of the width comes from, in words. */
function largestShare(heard: ForecastMode[]): string {
  const mean = (id: keyof ForecastMode["shares"]) =>
    heard.reduce((sum, { shares }) => sum + shares[id], 0) / heard.length;
  const first = CAUSE_IDS.reduce((a, b) => (mean(b) > mean(a) ? b : a));
  const advice: Partial<Record<keyof ForecastMode["shares"], string>> = {
    young: "a measured casting of the pattern, given with --casting, would narrow that most",
    wall: "measured walls, given with --walls, would narrow that most",
  };
  return `most of that comes from ${CAUSES[first]}${advice[first] === undefined ? "" : `; ${advice[first]}`}`;
}

function partialsTable({ modes, reference }: ForecastDocument, heard: ForecastMode[]): SheetTable {
  return {
    caption: `Partials of the casting. Ratios are to the ${modeLabel(modes[reference]!)}.`,
    head: ["partial", "waves", "order", "circles", "frequency, Hz", "ratio"],
    rows: heard.map((mode) => [
      modeLabel(mode),
      `${mode.m}`,
      `${mode.order}`,
      `${mode.circles}`,
      estimateText(mode.frequencyHz, "frequency"),
      mode === modes[reference] ? "1" : estimateText(mode.ratio, "interval"),
    ]),
  };
}

function sharesTable(heard: ForecastMode[]): SheetTable {
  const shown = heard.slice(0, 6);
  return {
    caption: "Where the width of each comes from, per cent of its variance.",
    head: ["cause", ...shown.map(modeLabel)],
    rows: CAUSE_IDS.map((id) => [
      CAUSES[id],
      ...shown.map(({ shares }) => `${Math.round(100 * shares[id])}`),
    ]),
  };
}

function doubletsTable({ doublets, modes }: ForecastDocument): SheetTable {
  const where = ({ lowerAntinodes }: ForecastDoublet) => lowerAntinodes ?? NOT_MEASURED;
  return {
    caption: "What ridges split. Second order is an order of size.",
    head: ["partial", "ridges", "split, cents", "beats, Hz", "theory", "lower one swings"],
    words: [4, 5],
    rows: doublets
      .filter(({ mode }) => modes[mode]!.order <= 2)
      .map((doublet) => [
        modeLabel(modes[doublet.mode]!),
        `${doublet.ridges} ${doublet.wall}`,
        estimateText(doublet.splitCents, "cents"),
        estimateText(doublet.splitHz, "frequency"),
        doublet.theory,
        where(doublet),
      ]),
  };
}

function calibrationTable({ calibration, modes }: ForecastDocument): SheetTable {
  const { label, partials, factor } = calibration!;
  return {
    caption: `Calibrated on ${label}: E over density is ${estimateText(factor, "interval")} times what was assumed. What is left by partial, cents.`,
    head: ["partial", "measured, Hz", "before", "left"],
    rows: partials.map(({ mode, measuredHz, beforeCents, leftCents }) => [
      modeLabel(modes[mode]!),
      estimateText(measuredHz, "frequency"),
      plainNumber(beforeCents, 1),
      plainNumber(leftCents, 1),
    ]),
  };
}

function sensitivityTable({ sensitivity, modes }: ForecastDocument, heard: ForecastMode[]): SheetTable {
  const shown = heard.slice(0, 5);
  const columns = shown.map((mode) => modes.indexOf(mode));
  return {
    caption: "Cents for 0.1 mm taken off the inner wall around a height; the outer wall is in the JSON.",
    head: ["height, mm", ...shown.map(modeLabel), "metal, g"],
    rows: sensitivity
      .filter(({ wall }) => wall === "inner")
      .map(({ zMm, centsPerTenthMm, gramsPerTenthMm }) => [
        plainNumber(zMm, 1),
        ...columns.map((at) => plainNumber(centsPerTenthMm[at]!, 2)),
        plainNumber(gramsPerTenthMm, 1),
      ]),
  };
}
