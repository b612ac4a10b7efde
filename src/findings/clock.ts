import { type Interference, nearHz } from "../measurement/index.ts";
import { defineFinding } from "./finding.ts";
import { threshold } from "./thresholds.ts";
import { countWords } from "./words.ts";

const MAINS_HZ = [50, 60];
/** Rates that are mistaken for one another: true over labelled. */
const MISTAKEN = [48000 / 44100, 44100 / 48000];
const HIGHEST_ORDER = 12;

interface WrongClock {
  mainsHz: number;
  trueOverLabelled: number;
  harmonics: number;
}

/** A comb of steady tones where mains hum would lie if the samples had been taken at another rate than the file says. */
function wrongClock(interference: readonly Interference[]): WrongClock | null {
  const steady = interference.filter((i) => i.kind === "steady tone" || i.kind === "mains");
  const countAt = (baseHz: number) => {
    const orders = steady.flatMap(({ frequencyHz }) => {
      const order = Math.round(frequencyHz / baseHz);
      const near = Math.abs(frequencyHz / (order * baseHz) - 1) <= threshold("mainsWithin");
      return order >= 1 && order <= HIGHEST_ORDER && near ? [order] : [];
    });
    return new Set(orders).size;
  };
  const found = MAINS_HZ.flatMap((mainsHz) =>
    MISTAKEN.map((ratio) => ({ mainsHz, trueOverLabelled: ratio, harmonics: countAt(mainsHz / ratio) })),
  ).sort((a, b) => b.harmonics - a.harmonics)[0]!;
  const usual = Math.max(...MAINS_HZ.map(countAt));
  return found.harmonics >= threshold("mainsHarmonics") && found.harmonics > usual ? found : null;
}

/** Whether the file's sample rate is the one it was recorded at, as far as mains hum tells. */
export const clock = defineFinding({
  id: "clock",
  subject: "Sample rate",
  needs: ["recordings"],
  uses: ["interference"],
  assess({ recordings, interference }) {
    const wrong = wrongClock(interference ?? []);
    const lowest = Math.min(...recordings.map((r) => r.sampleRateHz));
    if (wrong === null && lowest < threshold("lowRate")) {
      return {
        outcome: "note",
        title: `Nothing above ${lowest / 2000} kHz is in the file`,
        text: `The file holds ${lowest} samples a second, as of a telephone call or a voice memo, so every partial above ${lowest / 2000} kHz is cut away; it may still be in the bell. What is listed holds, if the rate is right, which cannot be seen without mains hum. Set the recorder to 44.1 or 48 kHz and record again; converting this file brings nothing back.`,
        evidence: [],
      };
    }
    if (wrong === null) {
      return {
        outcome: "good",
        title: "The sample rate is taken as the file says",
        text: "No mains hum lies where a wrong sample rate would put it. Without hum a wrong rate cannot be seen: all pitches and times would be off by one factor, ratios would not.",
        evidence: [],
      };
    }
    const cents = Math.round(Math.abs(1200 * Math.log2(wrong.trueOverLabelled)));
    const labelled = recordings[0]!.sampleRateHz;
    return {
      outcome: "attention",
      title: "The sample rate of the file seems wrong",
      text: `${countWords(wrong.harmonics, "steady tone")} lie where ${wrong.mainsHz} Hz mains hum lies when samples taken ${Math.round(labelled * wrong.trueOverLabelled)} times a second are labelled ${labelled}. If so, every pitch is ${cents} cents too ${wrong.trueOverLabelled > 1 ? "low" : "high"} and every time too ${wrong.trueOverLabelled > 1 ? "long" : "short"} by the same factor; ratios and deviations hold. Copy the file from the recorder again without converting it, or correct its rate, and measure again.`,
      evidence: [
        {
          kind: "table",
          label: "Steady tones",
          columns: ["near, Hz"],
          rows: interference
            .filter((i) => i.kind !== "rod" && i.kind !== "room")
            .map((i) => [nearHz(i.frequencyHz)]),
        },
      ],
    };
  },
});
