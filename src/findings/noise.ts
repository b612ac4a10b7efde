import type { Interference, SpectrumCurve } from "../measurement/index.ts";
import { defineFinding } from "./finding.ts";
import { median } from "./robust.ts";
import { threshold } from "./thresholds.ts";
import { HEARING_CAUTION } from "./words.ts";

const KIND_ADVICE: Record<Interference["kind"], string> = {
  mains: "keep chargers, lamps and long cables away from the recorder (mains hum)",
  "steady tone": "switch off what whistles or whirrs: screens, fans, supplies (steady tones)",
  rod: "strike with a softer or a longer-held rod (its own ring is in the recording)",
  room: "choose a place that does not resonate (the room answers)",
};

/** Less than this before the strike tells nothing of the noise. */
const SHORTEST_QUIET_S = 0.1;

/** By how much the noise is denser below 150 Hz than from 1 kHz on, dB; -Infinity where either is not known. */
function lowNoiseDb({ frequencyHz, noiseDb }: SpectrumCurve): number {
  const low = median(noiseDb.filter((_, i) => frequencyHz[i]! < 150));
  const high = median(noiseDb.filter((_, i) => frequencyHz[i]! > 1000));
  return low === null || high === null ? Number.NEGATIVE_INFINITY : low - high;
}

/** Whether the bell stands far enough over the noise. */
export const noise = defineFinding({
  id: "noise",
  subject: "Noise",
  needs: ["strikes"],
  uses: ["interference", "recordings", "curves"],
  assess({ strikes, interference, recordings, curves }) {
    const used = strikes.filter((s) => s.leftOut === null);
    const best = Math.max(...(used.length > 0 ? used : strikes).map((s) => s.snrDb));
    const kinds = [...new Set((interference ?? []).map((i) => i.kind))];
    const evidence =
      kinds.length === 0
        ? []
        : [
            {
              kind: "table" as const,
              label: "Lines that are not the bell's",
              columns: ["what it is", "kind"],
              rows: interference.map((i) => [i.text, i.kind]),
            },
          ];
    const lines =
      kinds.length === 0
        ? ""
        : ` Lines that are not the bell's were kept out; to be rid of them, ${kinds.map((k) => KIND_ADVICE[k]).join("; ")}.`;
    if (best >= threshold("snrT30")) {
      return {
        outcome: "good",
        title: "Quiet enough",
        text: `The bell stands at least ${threshold("snrT30")} dB over the noise, enough for every decay measure.${lines}`,
        evidence,
      };
    }
    const ringsOn = (used.length > 0 ? used : strikes).every(
      (s) => s.endedBy === "end of recording" && s.onsetS < SHORTEST_QUIET_S,
    );
    if (ringsOn) {
      return {
        outcome: "note",
        title: "The noise is not known",
        text: `The bell still rings where the recording ends and nothing was recorded before the strike, so how far it stands over the noise is not known.${lines} Record a second of quiet before the strike and let the bell ring out.`,
        evidence,
      };
    }
    const isLow = curves !== null && lowNoiseDb(curves.spectrum) > threshold("lowNoise");
    const wind = isLow
      ? " Most of the noise lies below 150 Hz, as that of wind, of handling or of traffic: shield the microphone from the wind, and lay it on something soft."
      : "";
    // A clipped recording must not become louder.
    const louder = (recordings ?? []).some((r) => r.clipped)
      ? "; a louder strike would not help, for the recorder is overloaded already."
      : `, and only then bring the recorder closer or strike a little harder. ${HEARING_CAUTION}`;
    const low = best < threshold("snrT20");
    const what = low
      ? `The bell stands less than ${threshold("snrT20")} dB over the noise, too little for a T20 decay: weak partials are lost, and intervals are wider than they could be.`
      : `The bell stands less than ${threshold("snrT30")} dB over the noise: enough for a T20 decay, too little for T30.`;
    return {
      outcome: low ? "attention" : "note",
      title: low ? "Too noisy" : "Some noise",
      text: `${what}${lines}${wind} Record in a quieter place${louder}`,
      evidence,
    };
  },
});
