import type { Estimate, TapMeasurement } from "../measurement/index.ts";
import type { WholeSound } from "./comparison.ts";
import { studentQuantile } from "./distributions.ts";
import { centsOf, difference, ratio } from "./estimate.ts";

/** Mean peak level over the used strikes, dB; null with one strike, whose blow says nothing of the next. */
function peakDbfs({ strikes }: TapMeasurement): Estimate | null {
  const levels = strikes.filter((strike) => strike.leftOut === null).map((strike) => strike.peakDbfs);
  const count = levels.length;
  if (count < 2) return null;
  const value = levels.reduce((sum, level) => sum + level, 0) / count;
  const variance = levels.reduce((sum, level) => sum + (level - value) ** 2, 0) / (count - 1);
  return { value, ci95: studentQuantile(0.05, count - 1) * Math.sqrt(variance / count) };
}

/** The sounds as wholes, B relative to A. The decays of ISO 3382 are those of the strike that each measurement took. */
export function compareWhole(a: TapMeasurement, b: TapMeasurement): WholeSound {
  const note = ratio(b.strikeNote?.frequencyHz ?? null, a.strikeNote?.frequencyHz ?? null);
  const peaks = [peakDbfs(a), peakDbfs(b)];
  return {
    strikeNoteCents: note === null ? null : centsOf(note),
    strikeNoteSameMethod: a.strikeNote?.method === b.strikeNote?.method,
    t60Ratio: ratio(b.sustain.t60S, a.sustain.t60S),
    edtRatio: ratio(b.sustain.edtS, a.sustain.edtS),
    t20Ratio: ratio(b.sustain.t20S, a.sustain.t20S),
    t30Ratio: ratio(b.sustain.t30S, a.sustain.t30S),
    audibleRatio: ratio(b.sustain.audibleS, a.sustain.audibleS),
    brightnessRatio: ratio(b.brightness?.centroidHz ?? null, a.brightness?.centroidHz ?? null),
    relativeBrightnessRatio:
      a.brightness?.ratioTo === b.brightness?.ratioTo
        ? ratio(b.brightness?.centroidRatio ?? null, a.brightness?.centroidRatio ?? null)
        : null,
    peakDifferenceDb: peaks[0] === null || peaks[1] === null ? null : difference(peaks[1], peaks[0]),
  };
}
