import type { TapMeasurement, TapOptions } from "../../../src/measurement/index.ts";
import { measureTap } from "../../../src/tap/index.ts";
import { boundOf, linewidthHz, type ModeEstimate, scoreBell, seeable } from "../synthetic/index.ts";
import type { AwkwardRecording, Scene } from "./scene.ts";

/** What became of one recording. */
export interface Outcome {
  /** The sentence of a refusal; then everything else is empty. */
  refused: string | null;
  measurement: TapMeasurement | null;
  /** One strike is used, and it begins within 10 ms of the true contact. */
  strikeRight: boolean;
  /** Modes that can be seen from the first contact on, decay slower than 15 /s, and lie a linewidth from a neighbour. */
  wanted: number;
  /** Of these: found; found and right in frequency; found and right, or withheld, in decay. */
  found: number;
  frequencyRight: number;
  decayRight: number;
  /** Listed, and no mode of the bell. */
  invented: number;
  isSaid: boolean;
  /** It is said, or named among several causes. */
  isHinted: boolean;
  /** Findings that ask for attention and should not. */
  wrong: { id: string; title: string }[];
}

const OPTIONS: TapOptions = { label: "Invented", a4Hz: 440, profile: "minor-third", ridges: null, pins: {} };

const ONSET_WITHIN_S = 0.01;
const SLOW_PER_S = 15;
/** A frequency is right within its own interval or this part of the linewidth. */
const RIGHT_LINEWIDTHS = 0.03;
/** A decay is right within its own interval or this: the change of a reverberation time that is just heard (ISO 3382-1, from memory). */
const RIGHT_DECAY = 0.05;
/** Half-width of the 95 % interval over the standard deviation. */
const Z95 = 1.96;

/** These speak of the bell, its tuning and how much was recorded, and may ask for attention in any scene. */
const OF_THE_BELL = ["pitch", "tuning", "warble", "sustain", "damping", "noise", "length"];
/** These are wrong even as a note. */
const NEVER_A_NOTE = ["cut-off", "hand-damping", "other-sounds", "coding", "file", "strike", "clipping"];

/** Measures a recording as `tap` does with its usual options, and holds the result against the truth. */
export function judge(scene: Scene, { recording, truth }: AwkwardRecording): Outcome {
  const bound = boundOf(truth, truth.lastContactSample);
  const wantedModes = truth.modes.filter(
    (mode, i) =>
      seeable(bound.modes[i]) && mode.decayRatePerS < SLOW_PER_S && bound.modes[i].gapHz >= linewidthHz(mode),
  );
  const nothing = { strikeRight: false, found: 0, frequencyRight: 0, decayRight: 0, invented: 0, wrong: [] };
  const wanted = wantedModes.length;
  let measurement: TapMeasurement;
  try {
    measurement = measureTap([{ file: `${scene.id}.wav`, recording }], OPTIONS);
  } catch (error) {
    if (!(error instanceof Error) || error.name !== "NotMeasurableError") throw error;
    return { refused: error.message, measurement: null, wanted, isSaid: false, isHinted: false, ...nothing };
  }
  const lines = linesOf(measurement);
  const { matched, invented } = scoreBell(truth, bound, lines.map(estimateOf));
  const found = matched.filter(({ mode }) => wantedModes.includes(truth.modes[mode]));
  const used = measurement.strikes.filter((s) => s.leftOut === null);
  const said = (id: string) => measurement.findings.find((f) => f.id === id);
  return {
    refused: null,
    measurement,
    strikeRight:
      used.length === 1 && Math.abs(used[0].onsetS - truth.onsetSample / truth.sampleRateHz) < ONSET_WITHIN_S,
    wanted,
    found: found.length,
    frequencyRight: found.filter(({ mode, estimate }) => {
      const { frequencyHz } = lines[estimate];
      const error = Math.abs(frequencyHz.value - truth.modes[mode].frequencyHz);
      return error <= Math.max(frequencyHz.ci95, RIGHT_LINEWIDTHS * linewidthHz(truth.modes[mode]));
    }).length,
    decayRight: found.filter(({ mode, estimate }) => {
      const { decayTimeS } = lines[estimate];
      const trueS = Math.log(1000) / truth.modes[mode].decayRatePerS;
      if (decayTimeS.ci95 >= decayTimeS.value) return true;
      const error = Math.abs(decayTimeS.value - trueS);
      return error <= Math.max(decayTimeS.ci95, RIGHT_DECAY * trueS);
    }).length,
    invented: invented.length,
    isSaid: scene.isSaid(said),
    isHinted: scene.isSaid(said) || scene.isHinted?.(said) === true,
    wrong: measurement.findings
      .filter(({ id, outcome }) => {
        if (OF_THE_BELL.includes(id) || scene.mayAlarm.includes(id) || scene.says === id) return false;
        return outcome === "attention" || (outcome === "note" && NEVER_A_NOTE.includes(id));
      })
      .map(({ id, title }) => ({ id, title })),
  };
}

type Line = Pick<TapMeasurement["partials"][number], "frequencyHz" | "decayTimeS">;

/** Every line: of a split partial its members. */
function linesOf(measurement: TapMeasurement): Line[] {
  return measurement.partials.flatMap((p): Line[] => p.doublet?.members ?? [p]);
}

function estimateOf({ frequencyHz, decayTimeS }: Line): ModeEstimate {
  const decayRatePerS = Math.log(1000) / decayTimeS.value;
  return {
    frequencyHz: frequencyHz.value,
    frequencySdHz: frequencyHz.ci95 / Z95,
    decayRatePerS,
    decayRateSdPerS: (decayRatePerS * decayTimeS.ci95) / decayTimeS.value / Z95,
    amplitude: [1],
    rho: 1,
  };
}
