import { type Evidence, readable, showEstimate } from "../../measurement/index.ts";
import type { Material } from "../comparison.ts";
import { product } from "../estimate.ts";
import { countWords, percentText, ratioText } from "../words.ts";
import { type CompareRule, type Judged, notMeasurable } from "./rule.ts";

const LEAST_PAIRS = 3;

function expectationWords({ expected, noExpectation, soundSpeedRatio }: Material): string {
  if (expected === null) return noExpectation ?? "";
  const { value, ci95 } = expected.soundSpeedRatio;
  const apart = Math.abs(soundSpeedRatio.value - value) > Math.hypot(ci95, soundSpeedRatio.ci95);
  const wide =
    ci95 > Math.abs(value - 1) ? " The sheets do not even tell the sign, so this is a weak check." : "";
  return `From published data ${ratioText(expected.soundSpeedRatio)} is expected; what was measured lies ${apart ? "outside" : "within"}. ${expected.basis}${apart ? "" : wide}`;
}

/** Diameters and masses give the density, and with it the modulus. */
function densityWords({ diameterRatio, massRatio, soundSpeedRatio }: Material): string {
  if (diameterRatio === null || massRatio === null) return "";
  const { value, ci95 } = diameterRatio;
  const size = { value: value ** -3, ci95: (3 * ci95 * value ** -3) / value };
  const density = product(massRatio, size);
  const squared = {
    value: soundSpeedRatio.value ** 2,
    ci95: 2 * soundSpeedRatio.value * soundSpeedRatio.ci95,
  };
  return ` Mass and diameter give a density ratio of ${ratioText(density)} for one shape, so Young's modulus goes by ${ratioText(product(density, squared))}.`;
}

function evidenceOf({ a, b, material, common }: Judged): Evidence[] {
  const { soundSpeedRatio, diameterRatio, expected, massRatio } = material!;
  return [
    {
      kind: "number",
      label: `frequency, ${b.letter} over ${a.letter}`,
      ...readable(common!.frequencyRatio, "interval"),
      unit: "",
    },
    ...(diameterRatio === null
      ? []
      : [
          {
            kind: "number" as const,
            label: `diameter, ${b.letter} over ${a.letter}`,
            ...diameterRatio,
            unit: "",
          },
        ]),
    {
      kind: "number",
      label: `sqrt(E / density), ${b.letter} over ${a.letter}`,
      ...readable(soundSpeedRatio, "interval"),
      unit: "",
    },
    ...(expected === null
      ? []
      : [
          {
            kind: "number" as const,
            label: "expected from published data",
            ...readable(expected.soundSpeedRatio, "interval"),
            unit: "",
          },
        ]),
    ...(massRatio === null
      ? []
      : [{ kind: "number" as const, label: `mass, ${b.letter} over ${a.letter}`, ...massRatio, unit: "" }]),
  ];
}

/** What the common shift says of sqrt(E / density), beside what published data lead to expect. */
export const material: CompareRule = {
  id: "material",
  subject: "Stiffness over density",
  assess(judged) {
    const { samePattern, pairs, common, material: found } = judged;
    if (found === null || common === null || pairs.length < LEAST_PAIRS) {
      return notMeasurable("Stiffness over density", `At least ${LEAST_PAIRS} paired partials are needed.`);
    }
    if (samePattern.outcome === "different") {
      return notMeasurable(
        "Stiffness over density",
        "The ratio of sqrt(E / density) can be read from castings of one pattern only.",
      );
    }
    const size =
      found.diameterRatio === null
        ? "taking the two as of one size (contraction may differ by some tenths of a per cent)"
        : "with the diameters given";
    const shape = ["scatter", "common and scatter"].includes(common.pitch.kind)
      ? ` The partials scatter by ${percentText((common.scatterCents * Math.LN2) / 1200)} about it, so the shape has a share in it.`
      : "";
    return {
      outcome: "note",
      title: "Stiffness over density",
      text: `${countWords(pairs.length, "partial")} together give sqrt(E / density) of ${judged.b.letter} over that of ${judged.a.letter} as ${showEstimate(found.soundSpeedRatio, "", "interval")}, ${size}.${shape} ${expectationWords(found)}${densityWords(found)}`,
      evidence: evidenceOf(judged),
      clause: null,
    };
  },
};
