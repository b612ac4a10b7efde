import type { Finding, FindingOutcome } from "../../measurement/index.ts";
import { evidenceText } from "../numbers.ts";
import { judgedFindings, notMeasurable, OUTCOME_WORDS } from "../tap/words.ts";
import { foreignToTerminal } from "./block.ts";
import { wrap } from "./cells.ts";
import type { Look, Paint } from "./paint.ts";

/** One sign for each outcome; the word stands beside it. */
const SIGNS: Record<FindingOutcome, string> = { attention: "!", good: "+", note: "*", "not-measurable": "-" };
const LOOKS: Record<FindingOutcome, Look[]> = {
  attention: ["bold", "red"],
  good: ["green"],
  note: [],
  "not-measurable": [],
};

/** From so many good findings on their headings alone are told, in one paragraph. */
const FOLDED_FROM = 3;

/**
 * Findings with what asks for attention first; nothing where there are none.
 *
 * @param foldGood tells the good ones by their headings only, so that they do not bury the rest
 */
export function findingLines(findings: Finding[], width: number, paint: Paint, foldGood = false): string[] {
  if (findings.length === 0) return [];
  const good = findings.filter((finding) => finding.outcome === "good");
  const folded = foldGood && good.length >= FOLDED_FROM;
  const told = judgedFindings(findings).filter((finding) => !folded || finding.outcome !== "good");
  const lines = told.flatMap(({ outcome, title, text, evidence }) => {
    const head = `${SIGNS[outcome]} ${OUTCOME_WORDS[outcome]}: `;
    const [first, ...rest] = wrap(foreignToTerminal(`${head}${title}. ${text}`), width - 2, 2);
    const numbers = evidence.flatMap((each) => {
      return each.kind === "number" ? [`${each.label} ${evidenceText(each)}`] : [];
    });
    const proof = numbers.length === 0 ? [] : wrap(foreignToTerminal(numbers.join("; ")), width - 4, 0);
    return [
      paint(head, ...LOOKS[outcome]) + first!.slice(head.length),
      ...rest,
      ...proof.map((line) => paint(`  ${line}`, "dim")),
    ].map((line) => `  ${line}`);
  });
  const goodLines = folded ? goodParagraph(good, width, paint) : [];
  const unjudged = notMeasurable(findings).flatMap(({ titles, reason }) =>
    wrap(
      foreignToTerminal(
        `${SIGNS["not-measurable"]} ${OUTCOME_WORDS["not-measurable"]}: ${titles.join(", ")}. ${reason}`,
      ),
      width - 2,
      2,
    ).map((line) => `  ${line}`),
  );
  return ["", paint("Findings", "bold"), ...lines, ...goodLines, ...unjudged];
}

function goodParagraph(good: Finding[], width: number, paint: Paint): string[] {
  const head = `${SIGNS.good} ${OUTCOME_WORDS.good}: `;
  const [first, ...rest] = wrap(
    foreignToTerminal(`${head}${good.map(({ title }) => title).join("; ")}.`),
    width - 2,
    2,
  );
  return [paint(head, ...LOOKS.good) + first!.slice(head.length), ...rest].map((line) => `  ${line}`);
}
