import type { Doublet, TapPartial } from "../measurement/index.ts";
import { defineFinding, notMeasurable } from "./finding.ts";
import { patternWord } from "./signs/split.ts";
import { isMixture } from "./signs/two-bells.ts";
import { beatPeriod, beatWords, causeWords, depthWords, heardAs, isAudibleWarble } from "./warble-words.ts";
import { cell, countWords, partialCell, partialWords, sentence, sureMeridians } from "./words.ts";

type Paired = TapPartial & { doublet: Doublet };

/** Sentences name this many of the strongest pairs; the table has them all. */
const TOLD = 3;

/** Which partials beat, how fast and how deep, and whether the pattern can be the cause. */
export const warble = defineFinding({
  id: "warble",
  subject: "Warble",
  needs: ["partials"],
  uses: ["options", "fit", "expectedPartials"],
  assess({ partials, options, fit, expectedPartials }) {
    const ridges = options?.ridges ?? null;
    const paired = partials.filter((p): p is Paired => p.doublet !== null);
    if (fit?.freeDecay === false) {
      return notMeasurable(
        "Warble",
        "The ring-down is not a sum of free decays, so beats cannot be told from it. Follow the advice on the ring-down and record again.",
      );
    }
    if (isMixture(partials, expectedPartials ?? [])) {
      return notMeasurable(
        "Warble",
        "Two bells seem to sound, and a partial of one beats with a partial of the other. Strike one bell only, and record again.",
      );
    }
    if (paired.length === 0) {
      return {
        outcome: "good",
        title: "No warble",
        text: `Each of ${countWords(partials.length, "partial")} rings as a single line. Beats slower than about one in a partial's ring time would not be seen.`,
        evidence: [],
      };
    }
    const audible = paired.filter((p) => isAudibleWarble(p, p.doublet, partials));
    // What the pattern's own symmetry can split is what a pattern maker can change: it is told first, however weak.
    const byPattern = paired.filter((p) => patternWord(p, ridges) === "it can");
    const others = (audible.length > 0 ? audible : paired).filter((p) => !byPattern.includes(p));
    const told = [byPattern, others]
      .flatMap((group) => [...group].sort((a, b) => b.levelDb.value - a.levelDb.value))
      // What nobody asks about is one line; the table has them all.
      .slice(0, audible.length > 0 || byPattern.length > 0 ? TOLD : 1);
    // Without the symmetry the advice to give it is said once, not per partial.
    const sentences = told.map((p) => {
      const sound = heardAs(p, p.doublet);
      const manner = sound === "warble" ? depthWords(p.doublet) : `heard as ${sound}`;
      const cause = ridges === null ? "" : `; ${causeWords(patternWord(p, ridges), ridges)}`;
      return `${sentence(partialWords(p))} has ${beatWords(p.doublet.splitHz)}, ${manner}${cause}.`;
    });
    const advice =
      ridges === null && audible.length > 0 ? ` ${sentence(causeWords("ridges not given", null))}.` : "";
    const mounting =
      audible.length === 0
        ? ""
        : " To tell casting from mounting, hang the bell another way round and measure again: a split that changes is the mounting's.";
    return {
      outcome: audible.length > 0 ? "attention" : "note",
      title:
        audible.length > 0 ? "The bell warbles" : "Split partials, as every bell has, but no plain warble",
      text: sentences.join(" ") + advice + mounting,
      evidence: [
        {
          kind: "table",
          label: "Split partials",
          columns: [
            "partial",
            "frequency, Hz",
            "nodal meridians",
            "beats a second",
            "seconds a beat",
            "depth",
            "heard as",
            "can the pattern split it",
          ],
          rows: paired.map((p) => [
            partialCell(p),
            cell(p.frequencyHz, "frequency"),
            sureMeridians(p),
            cell(p.doublet.splitHz, "frequency"),
            cell(beatPeriod(p.doublet.splitHz), "time"),
            depthWords(p.doublet),
            heardAs(p, p.doublet),
            patternWord(p, ridges),
          ]),
        },
        { kind: "chart", label: "Beats", chart: "beats", partial: null },
      ],
    };
  },
});
