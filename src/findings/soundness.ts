import { type Estimate, type Evidence, showEstimate, type TapPartial } from "../measurement/index.ts";
import { type Assessment, defineFinding, notMeasurable } from "./finding.ts";
import { judgeLosses, type LossJudgement } from "./signs/loss.ts";
import { missingPartials } from "./signs/missing.ts";
import { farSplits, relativeSplit } from "./signs/split.ts";
import { isMixture } from "./signs/two-bells.ts";
import { threshold } from "./thresholds.ts";
import { areDecaysWithheld, DECAYS_WITHHELD } from "./withheld.ts";
import { cell, countWords, listWords, partialCell, partialWords, scaled, sentence } from "./words.ts";

const OTHER_CAUSES =
  "A crack or a flaw in the metal can do this; so can a hand, a cord or a bench that touches the bell, a loose part, a pattern that is not round, or another partial that lies close by.";
const NEXT_STEP =
  "Hang the bell freely, strike it at three places 25° apart round the rim and measure again; if it stands out every time, look for a crack, at the lip first, before more work goes into it.";

function evidenceTable(partials: readonly TapPartial[], losses: LossJudgement, far: number[]): Evidence {
  const rows = partials.map((p, i) => {
    const split = relativeSplit(p);
    const expected = losses.expectedQ[i];
    const remarks = [
      ...(losses.outliers.includes(i) ? ["rings too short"] : []),
      ...(losses.judged.includes(i) ? [] : ["decay too uncertain to judge"]),
      ...(far.includes(i) ? ["split far beyond the rest"] : []),
    ];
    return [
      partialCell(p),
      cell(p.frequencyHz, "frequency"),
      cell(p.q, "damping"),
      expected ? expectedWords(expected) : null,
      split === null ? null : cell(scaled(split, 100), "percent"),
      remarks.join("; "),
    ];
  });
  return {
    kind: "table",
    label: "Ring and split of each partial against the bell's other partials",
    columns: ["partial", "frequency, Hz", "Q", "Q by the bell's trend", "split, %", "remark"],
    rows,
  };
}

const FRACTIONS = [
  "half",
  "a third",
  "a quarter",
  "a fifth",
  "a sixth",
  "a seventh",
  "an eighth",
  "a ninth",
  "a tenth",
];

/** Up to this part of the value an expectation reads as a number with its interval; a wider one as the range that it is. */
const NARROW = 0.3;

/** The trend is one of logarithms, so its 95 % range goes by a factor up and down. */
function rangeOf({ value, ci95 }: Estimate): [low: number, high: number] {
  const factor = Math.exp(ci95 / value);
  return [value / factor, value * factor];
}

const isNarrow = ({ value, ci95 }: Estimate): boolean => ci95 <= NARROW * value;

/** Q by the bell's trend: "3420 ± 380", or "400 to 3000" where it is known to little more than its size. */
function expectedWords(expected: Estimate): string {
  if (isNarrow(expected)) return showEstimate(expected, "", "damping");
  const [low, high] = rangeOf(expected).map((q) => Number(q.toPrecision(2)));
  return `${low} to ${high}`;
}

/** "about a third as long"; "less than a tenth as long" where no such fraction is near; "at most" of a wide expectation. */
function lengthWords(q: Estimate, expected: Estimate): string {
  const [low] = rangeOf(expected);
  const part = q.value / (isNarrow(expected) ? expected.value : low);
  const fraction = FRACTIONS[Math.max(2, Math.round(1 / part)) - 2];
  if (fraction === undefined) return "less than a tenth as long";
  return `${isNarrow(expected) ? "" : "at most "}about ${fraction} as long`;
}

/** Sentences, one for each kind of sign that speaks against the casting: in plain words first, the numbers in brackets after. */
function signs(partials: readonly TapPartial[], losses: LossJudgement, far: number[]): string[] {
  const short = (losses.areSign ? losses.outliers : []).map((i) => {
    const { q } = partials[i]!;
    const expected = losses.expectedQ[i]!;
    return {
      who: partialWords(partials[i]!),
      howLong: lengthWords(q, expected),
      numbers: `(Q ${showEstimate(q, "", "damping")} instead of ${expectedWords(expected)})`,
    };
  });
  const [only] = short;
  const shortWords =
    short.length === 0
      ? []
      : short.length === 1
        ? [
            `${only!.who} rings ${only!.howLong} as the bell's other partials lead one to expect ${only!.numbers}`,
          ]
        : [
            `${countWords(short.length, "partial")} ring far shorter than the bell's others lead one to expect: ${listWords(short.map(({ who, howLong, numbers }) => `${who} ${howLong} ${numbers}`))}`,
          ];
  const split = far.map((i) => {
    const p = partials[i]!;
    return `${partialWords(p)} is split far wider than the others (by ${showEstimate(scaled(relativeSplit(p)!, 100), "%")} of its frequency)`;
  });
  const whole =
    losses.damped && losses.median !== null
      ? [
          `the whole bell dies away too fast (the median loss factor of ${countWords(losses.judged.length, "partial")} is ${showEstimate(losses.median, "", "damping")}, where sound bells stay below ${threshold("dampedLossFactor")})`,
        ]
      : [];
  return [...whole, ...shortWords, ...(split.length === 0 ? [] : [listWords(split)])];
}

/** The signs in a heading. */
function suspicions(losses: LossJudgement, far: number[]): string[] {
  return [
    ...(losses.damped ? ["damped all over"] : []),
    ...(losses.areSign ? ["partials that ring too short"] : []),
    ...(far.length > 0 ? ["a split far beyond the rest"] : []),
  ];
}

/** Sound or suspect, by damping, splits and missing partials; never without the table that it rests on. */
export const soundness = defineFinding({
  id: "soundness",
  subject: "Soundness",
  needs: ["partials", "fit", "strikes"],
  uses: ["options", "expectedPartials", "curves"],
  assess({ partials, fit, strikes, options, expectedPartials, curves }): Assessment {
    const losses = judgeLosses(partials);
    const far = farSplits(partials, options?.ridges ?? null);
    const evidence = [evidenceTable(partials, losses, far)];
    if (!fit.freeDecay) {
      return notMeasurable(
        "Soundness cannot be judged",
        "The recording is not a sum of free decays, so how long each partial rings cannot be trusted. Follow the advice on the ring-down and record again.",
        evidence,
      );
    }
    if (isMixture(partials, expectedPartials ?? [])) {
      return notMeasurable(
        "Soundness cannot be judged",
        "Two bells seem to sound, so partials that lie side by side need not be of one casting. Strike one bell only, and record again.",
        evidence,
      );
    }
    const against = signs(partials, losses, far);
    if (against.length > 0) {
      return {
        outcome: "attention",
        title: `Suspect: ${listWords(suspicions(losses, far))}`,
        text: `${against.map((sign) => `${sentence(sign)}.`).join(" ")} ${OTHER_CAUSES} ${NEXT_STEP}`,
        evidence,
      };
    }
    if (losses.votes < threshold("trendPartials")) {
      if (areDecaysWithheld({ partials, curves, strikes, fit })) {
        return notMeasurable("Soundness cannot be judged", DECAYS_WITHHELD, evidence);
      }
      return notMeasurable(
        "Soundness cannot be judged",
        `The decay of ${countWords(losses.votes, "partial")} is known well enough, and at least ${threshold("trendPartials")} are needed to tell one that is damped from the rest. Strike at another place on the rim, let it ring out, and record in a quieter place.`,
        evidence,
      );
    }
    const dull = losses.outliers.map((i) => partialWords(partials[i]!));
    const within =
      dull.length === 0
        ? `Each of ${countWords(losses.judged.length, "partial")} rings within what the bell's own trend allows`
        : `All but ${dull.length} of ${countWords(losses.judged.length, "partial")} ring within what the bell's own trend allows`;
    const clear = `${within}, and no split stands far beyond the rest. A flaw that changes neither ring nor split is not heard in a recording.`;
    const missing = missingPartials(partials, expectedPartials ?? [], strikes).map((e) => `the ${e.name}`);
    if (dull.length > 0) {
      return {
        outcome: "note",
        title: "No sign of a fault, though not every partial rings long",
        text: `${sentence(listWords(dull))} ${dull.length === 1 ? "dies" : "die"} far sooner than the rest, as a few do in a sound bell too. Strike at another place, 25° further round, and measure again: a crack damps other partials as well. ${clear}`,
        evidence,
      };
    }
    if (missing.length === 0) {
      return { outcome: "good", title: "No sign of a fault", text: clear, evidence };
    }
    const verb = missing.length === 1 ? "is" : "are";
    return {
      outcome: "note",
      title: "No sign of a fault in what rings, but not every partial is there",
      text: `${sentence(listWords(missing))} ${verb} not heard where the partials beside lead one to expect it. A strike at a still place of the partial or a pattern of another shape does that more often than a fault: strike at another place, 25° further round (44 mm along a mouth of 200 mm), and measure again. ${clear}`,
      evidence,
    };
  },
});
