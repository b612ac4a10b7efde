import { analyseSeries, type SeriesResult } from "../../../src/series/index.ts";
import { inventedSet, measureSet } from "../../series/invented-sets.ts";
import { makeRandom } from "../../support/synthetic/index.ts";

/** An invented set of twelve with a failed pass and a failed recording. */
export function sampleSeries(count = 12): SeriesResult {
  const random = makeRandom(42);
  const input = measureSet(inventedSet(random, count), random);
  input.measured[1]![3] = null;
  input.failed.push({ recording: "bell 2-3.wav", reason: "no strike stands out of the noise" });
  Object.assign(input.file.bells[0]!, { alloy: "Cu80Sn20", massKg: 4.2, diameterMm: 180 });
  Object.assign(input.file.bells[0]!.passes[1]!, { date: "2026-05-01", metalC: 19.5 });
  return analyseSeries(input);
}

/** The same with hostile text wherever a user can put text. */
export function hostileSeries(hostile: string): SeriesResult {
  const result = sampleSeries(2);
  result.set = hostile;
  result.profile = hostile;
  for (const [i, bell] of result.bells.entries()) {
    Object.assign(bell, {
      // A series file refuses two bells of one name.
      name: i === 0 ? hostile : `${hostile} ${i}`,
      target: hostile,
      alloy: hostile,
      nextCutReason: hostile,
      nextCut: null,
    });
    for (const pass of bell.passes) {
      Object.assign(pass, { date: hostile, at: hostile, note: hostile, recordings: [hostile] });
      for (const partial of pass.partials) partial.name = hostile;
    }
  }
  for (const each of result.intervals) Object.assign(each, { from: hostile, to: hostile, partial: hostile });
  for (const each of result.decaySpread) each.partial = hostile;
  result.failed = [{ recording: hostile, reason: hostile }];
  for (const finding of result.findings) Object.assign(finding, { title: hostile, text: hostile });
  return result;
}
