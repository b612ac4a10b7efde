import { temperatureCoefficientPerK } from "../../foundry/index.ts";
import type { Evidence } from "../../measurement/index.ts";
import { CENTS_PER_NEPER } from "../estimate.ts";
import { threshold } from "../thresholds.ts";
import { cell, centsText, countWords, listWords, shiftWords, theName } from "../words.ts";
import { beyondWords, type CompareRule, type Judged, notMeasurable } from "./rule.ts";
import { scatterEvidence, scatterOf, testTable, testWords } from "./test-words.ts";

/** With fewer pairs one shift of all cannot be told from several shifts. */
const LEAST_PAIRS = 3;

function evidenceOf({ a, b, pairs, common }: Judged): Evidence[] {
  const { cents, scatterCents, pitch } = common!;
  return [
    { kind: "number", label: "common shift", ...cents, unit: "cents" },
    ...scatterEvidence(scatterCents, pairs.length, "cents"),
    testTable("Whether all pairs share one shift", pitch),
    {
      kind: "table",
      label: `Frequency of each pair, ${b.letter} over ${a.letter}`,
      columns: ["partial", `${a.letter}, Hz`, `${b.letter}, Hz`, "cents", "strike spread, cents", "changed"],
      rows: pairs.map((pair) => [
        pair.name,
        cell(pair.a.frequencyHz, "frequency"),
        cell(pair.b.frequencyHz, "frequency"),
        cell(pair.cents, "cents"),
        pair.strikeSpreadCents === null ? null : Number(pair.strikeSpreadCents.toPrecision(2)),
        pair.frequencyChanged ? "yes" : "no",
      ]),
    },
    { kind: "chart", label: "The shift of every pair", chart: "deviation", partial: null },
  ];
}

/** What size and metal have to do with a shift of all partials. */
function causeOfCommon({ material }: Judged): string {
  return material?.diameterRatio ? "the material" : "the material or the overall size";
}

interface Told {
  title: string;
  text: string;
  clause: string;
}

function smallShift(judged: Judged): Told {
  const { b, pairs, common } = judged;
  const { cents, pitch } = common!;
  const perKelvin = temperatureCoefficientPerK();
  const kelvin = Math.abs(cents.value / (CENTS_PER_NEPER * perKelvin.value));
  const shift = `${b.letter} is ${shiftWords(cents)} throughout`;
  return {
    title: "A shift too small to mean anything",
    text: `${shift} (${countWords(pairs.length, "partial")}; ${testWords(pitch)}). A difference of about ${Math.max(1, Math.round(kelvin))} K between the two bells, or of two recorders' clocks, does as much: it says nothing of metal or shape.`,
    clause: `${shift}, no more than a difference of temperature makes`,
  };
}

function told(judged: Judged): Told {
  const { a, b, pairs, common, material } = judged;
  const { cents, scatterCents, pitch } = common!;
  const scatter = centsText(scatterOf(scatterCents, pairs.length));
  const small = Math.abs(cents.value) < threshold("pitchStep");
  const cause = causeOfCommon(judged);
  const others = countWords(pairs.length, "paired partial");
  switch (pitch.kind) {
    case "none":
      return {
        title: "No change of pitch",
        text: `The ${others} lie where they did: ${centsText(cents)} between ${a.letter} and ${b.letter} together, and none moved against the others (${testWords(pitch)}).`,
        clause: `the pitch did not change (${centsText(cents)})`,
      };
    case "common": {
      if (small) return smallShift(judged);
      const shift = `${b.letter} is ${shiftWords(cents)} throughout`;
      const known = material?.diameterRatio ? "" : " The diameters would tell the two apart.";
      return {
        title: `One shift for all: ${cause}`,
        text: `${shift}, ${beyondWords(judged)}: the ${others} agree on one shift (${testWords(pitch)}). So ${cause} changed, not the shape.${known}`,
        clause: `${shift}, so ${cause} changed, not the shape`,
      };
    }
    case "some": {
      const names = listWords(pitch.moved.map((i) => theName(pairs[i])));
      const shifts = pitch.moved.map(
        (i) =>
          `${theName(pairs[i])} by ${centsText({ value: pairs[i].cents.value - cents.value, ci95: Math.hypot(pairs[i].cents.ci95, cents.ci95) })}`,
      );
      const rest = `the other ${pairs.length - pitch.moved.length} share one shift of ${centsText(cents)}`;
      return {
        title: "Some partials moved by themselves",
        text: `Against the rest moved ${listWords(shifts)}; ${rest} (over all: ${testWords(pitch)}). Metal and overall size move all alike, so the shape or the thickness changed where these partials bend the bell, unless one of them was paired wrongly.`,
        clause: `${names} moved against the rest, so the shape or the thickness changed there; ${rest}`,
      };
    }
    case "common and scatter": {
      const shift = `${b.letter} is ${shiftWords(cents)} on the whole`;
      return {
        title: `A shift for all, and a scatter about it`,
        text: `${shift}, and the ${others} scatter about that by ${scatter}, ${beyondWords(judged)} (${testWords(pitch)}). The larger part is ${cause}; the shape or the thickness changed a little too.`,
        clause: `${shift}, mostly ${cause}; a scatter of ${scatter} says that the shape or the thickness changed too`,
      };
    }
    case "scatter":
      return {
        title: "The partials moved against each other",
        text: `The ${others} scatter by ${scatter} about a shift of ${centsText(cents)}, ${beyondWords(judged)} (${testWords(pitch)}). Metal and overall size move all alike; this says that the shape or the thickness changed.`,
        clause: `the partials moved against each other by ${scatter}, so the shape or the thickness changed`,
      };
  }
}

/** Whether the partials moved together, which is metal or size, or against each other, which is shape. */
export const pitch: CompareRule = {
  id: "pitch",
  subject: "Change of pitch",
  assess(judged) {
    const { samePattern, pairs, common } = judged;
    if (common === null) return notMeasurable("Change of pitch", "No partial of one was found in the other.");
    if (samePattern.outcome === "different") {
      return {
        ...notMeasurable(
          "Change of pitch",
          "Shifts between different patterns say nothing of metal or shape. The pairs are listed for a look.",
        ),
        evidence: evidenceOf(judged),
      };
    }
    if (pairs.length < LEAST_PAIRS) {
      return {
        ...notMeasurable(
          "Change of pitch",
          `With ${countWords(pairs.length, "paired partial")} a change of the metal cannot be told from one of the shape; at least ${LEAST_PAIRS} are needed.`,
        ),
        evidence: evidenceOf(judged),
      };
    }
    return { outcome: "note", ...told(judged), evidence: evidenceOf(judged) };
  },
};
