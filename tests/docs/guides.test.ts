import { describe, expect, it } from "vitest";
import { REGISTER } from "../../src/findings/register.ts";
import { htmlReport } from "../../src/report/index.ts";
import { crackedBell, noisyRecording, soundBell } from "../support/sample-measurement.ts";
import { readDocument } from "./markdown.ts";

const SCRIPTS = { chartJsSource: "", script: "", audio: null, generatedAt: "today" };

/** The texts of these elements in the reports of invented bells, tags and entities taken off. */
async function textsIn(element: RegExp): Promise<string[]> {
  const bells = [soundBell(), crackedBell(), noisyRecording()];
  const pages = await Promise.all(bells.map((bell) => htmlReport(bell, SCRIPTS)));
  const texts = pages.flatMap((page) => [...page.matchAll(element)].map((match) => match[1]!));
  return [
    ...new Set(
      texts.map((text) =>
        text
          .replace(/<[^>]*>/g, "")
          .replaceAll("&#39;", "'")
          .trim(),
      ),
    ),
  ];
}

describe("docs/reading-guide.md", () => {
  const guide = readDocument("docs/reading-guide.md");

  it("reading-guide.md has a section for each section of the report, in its order", async () => {
    const sections = await textsIn(/<h2[^>]*>([\s\S]*?)<\/h2>/g);
    const headings = [...guide.matchAll(/^## (.*)$/gm)].map((match) => match[1]!);
    expect(sections.length).toBeGreaterThan(5);
    expect(headings.filter((heading) => sections.includes(heading))).toEqual(sections);
  });

  it("reading-guide.md tells of each finding, in the order of the register", () => {
    const rows = [...guide.matchAll(/^\| ([a-z-]+) \| [A-Z]/gm)].map((match) => match[1]!);
    expect(rows).toEqual(REGISTER.map(({ id }) => id));
  });

  it("reading-guide.md names each column of the table of partials and each entry of the fit", async () => {
    const named = [
      "name sure",
      "cents from ideal",
      "seen again in",
      "noise there, dB",
      "peak, dBFS",
      "over noise, dB",
    ];
    const columns = await textsIn(/<th[^>]*scope="col"[^>]*>([\s\S]*?)<\/th>/g);
    for (const column of named) {
      expect(columns).toContain(column);
      expect(guide).toContain(column);
    }
    for (const entry of (await textsIn(/<dt[^>]*>([\s\S]*?)<\/dt>/g)).filter((text) => / /.test(text))) {
      if (!WORDS_AND_SETTINGS.includes(entry)) expect(guide, entry).toContain(entry);
    }
  });
});

/** The glossary and the settings repeat words; the guide need not. */
const WORDS_AND_SETTINGS = [
  "profile of ideal ratios",
  "names pinned by the user",
  "pattern's symmetry",
  "program and method",
  "split, doublet, warble",
  "Q, loss factor",
];

describe("docs/recording-guide.md", () => {
  const guide = readDocument("docs/recording-guide.md");

  /** What a partial of m = 2 to 5 loses at worst, dB, when the best of these places counts: cos(m (angle - place)). */
  function worstLossDb(placesDeg: number[]): number {
    let worst = 0;
    for (const m of [2, 3, 4, 5]) {
      for (let angle = 0; angle < 180; angle += 0.05) {
        const best = Math.max(
          ...placesDeg.map((place) => Math.abs(Math.cos((m * (angle - place) * Math.PI) / 180))),
        );
        worst = Math.max(worst, -20 * Math.log10(best));
      }
    }
    return worst;
  }

  it("recording-guide.md begins with a list of ten lines", () => {
    const list = guide.split("\n## ")[1]!;
    expect(list.match(/^\d+\. /gm)).toHaveLength(10);
  });

  it("recording-guide.md tells what two and three places lose at worst", () => {
    expect(guide).toContain(`| two, 25° apart | ${worstLossDb([0, 25]).toFixed(1)} dB |`);
    expect(guide).toContain(`| three, 25° apart | ${worstLossDb([0, 25, 50]).toFixed(1)} dB |`);
    // A grid of 0.05° comes within m x 0.025° = 0.002 rad of a still line: 53 dB down at least.
    expect(worstLossDb([0])).toBeGreaterThan(50);
    expect(worstLossDb([0, 90])).toBeGreaterThan(50);
    expect(worstLossDb([0, 45])).toBeGreaterThan(50);
  });

  it("recording-guide.md tells how long NIOSH's rule allows a level, and the sizes that it computes", () => {
    const minutes = (levelDb: number) => (8 * 60) / 2 ** ((levelDb - 85) / 3);
    expect(guide).toContain(
      `${minutes(100).toFixed(0)} minutes at 100 dB(A), ${(60 * minutes(120)).toFixed(0)} seconds`,
    );
    expect(guide).toContain(`${((Math.PI * 200 * 25) / 360).toFixed(0)} mm along the rim`);
    expect(guide).toContain(`by ${(1200 * Math.log2(1 + 0.1 / 343)).toFixed(1)} cents`);
  });
});
