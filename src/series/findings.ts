import { type Evidence, type Finding, type FindingOutcome, showEstimate } from "../measurement/index.ts";
import { JUDGEMENT } from "./judgement.ts";
import type { SeriesResult } from "./result.ts";

type Unjudged = Omit<SeriesResult, "findings">;

/** A pass whose measurement asks for attention, and the headings of what it asks. */
export interface SpoiledPass {
  bell: string;
  recordings: string[];
  titles: string[];
}

/** What the set as a whole asks for, in words; what cuts and deviations say stands with each bell. */
export function seriesFindings(result: Unjudged, spoiled: readonly SpoiledPass[]): Finding[] {
  return [
    oddFinding(result, "pitch"),
    oddFinding(result, "decay"),
    failedFinding(result),
    spoiledFinding(spoiled),
    temperatureFinding(result),
  ];
}

function finding(
  id: string,
  title: string,
  outcome: FindingOutcome,
  text: string,
  evidence: Evidence[] = [],
): Finding {
  return { id, title, outcome, text, evidence };
}

function oddFinding({ oddOnes, bells }: Unjudged, what: "pitch" | "decay"): Finding {
  const id = what === "pitch" ? "odd-pitch" : "odd-decay";
  const words = what === "pitch" ? "pitch" : "decay time";
  const odd = oddOnes.filter((one) => one.what === what);
  const measured = bells.filter(({ meanCents }) => meanCents !== null).length;
  if (odd.length > 0) {
    const evidence = odd.map(
      ({ bell, partial, amount }): Evidence => ({
        kind: "number",
        label: partial === null ? bell : `${bell}, ${partial}: loss factor over the middle one`,
        value: amount.value,
        ci95: amount.ci95,
        unit: what === "pitch" ? "cents" : "",
      }),
    );
    const text = `${odd.map((one) => one.text).join("; ")}. Listen to it and check its recording before cutting.`;
    return finding(
      id,
      `Odd one out in ${words}`,
      "attention",
      text[0]!.toUpperCase() + text.slice(1),
      evidence,
    );
  }
  if (measured < JUDGEMENT.leastForOdd) {
    const text = `Cannot be judged: ${measured} measured, and ${JUDGEMENT.leastForOdd} bells are the fewest among which one can be called odd.`;
    return finding(id, `Odd ones out in ${words}`, "not-measurable", text);
  }
  return finding(
    id,
    `No odd one out in ${words}`,
    "good",
    `No bell stands apart from the others in ${words}.`,
  );
}

function failedFinding({ failed }: Unjudged): Finding {
  if (failed.length === 0) {
    return finding(
      "failed-recordings",
      "Every recording measured",
      "good",
      "Every recording could be measured.",
    );
  }
  const text = `Not measured: ${failed.map(({ recording, reason }) => `${recording} (${reason})`).join("; ")}.`;
  return finding("failed-recordings", "Recordings that could not be measured", "attention", text);
}

/** Deviations and cuts are reckoned from these passes all the same; their numbers may be another's than the bell's. */
function spoiledFinding(spoiled: readonly SpoiledPass[]): Finding {
  const id = "spoiled-passes";
  if (spoiled.length === 0) {
    return finding(
      id,
      "No pass asks for attention",
      "good",
      "No measurement says that it is spoiled as a whole.",
    );
  }
  const passes = spoiled.map(
    ({ bell, recordings, titles }) => `${bell}, ${recordings.join(", ")} (${titles.join("; ")})`,
  );
  const text = `What is told of these passes may not be the bell's: ${passes.join("; ")}. See what tap says of each, and record it again before you cut.`;
  return finding(id, "Passes to record again", "attention", text);
}

/** A kelvin moves every partial by about a third of a cent, so passes compare only at one temperature. */
function temperatureFinding({ bells, temperature }: Unjudged): Finding {
  const id = "temperature";
  const passes = bells.flatMap((bell) => bell.passes);
  const noted = passes.flatMap(({ metalC }) => metalC ?? []);
  if (noted.length === 0) {
    return finding(
      id,
      "Temperature",
      "not-measurable",
      "Cannot be judged: no pass tells the metal's temperature (metalC).",
    );
  }
  const [low, high] = [Math.min(...noted), Math.max(...noted)];
  const range = `The metal was ${low === high ? `at ${low}` : `from ${low} to ${high}`} °C in ${noted.length} of ${passes.length} passes`;
  if (temperature === null) {
    return finding(id, "Temperature noted", "note", `${range}; nothing was corrected for it.`);
  }
  const { toC, coefficientPerK } = temperature;
  const perK = showEstimate(coefficientPerK, "per kelvin");
  const text = `${range}; those were brought to ${toC} °C by ${perK} (${temperature.source}).`;
  return finding(id, "Corrected for temperature", "note", text);
}
