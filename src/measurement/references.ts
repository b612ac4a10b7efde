import type { TapMeasurement } from "./tap.ts";

const equalLengths = (...lists: number[][]) => lists.every((list) => list.length === lists[0]!.length);

/**
 * What a schema cannot say: every index points at something, the columns of a curve and the rows of a table are of one
 * length, and `recording` is the first of `recordings`.
 *
 * @returns what is wrong, beginning with the path of the field, or null
 */
export function brokenReference(measurement: TapMeasurement): string | null {
  const { partials, recordings, strikes, combinations, rimLaw, curves, findings } = measurement;
  const noPartial = (path: string, index: number | null) =>
    index !== null && index >= partials.length
      ? `${path} is ${index}, but there are ${partials.length} partials`
      : null;
  const noRecording = (path: string, index: number) =>
    index >= recordings.length ? `${path} is ${index}, but there are ${recordings.length} recordings` : null;
  const complaints = [
    measurement.recording.file === recordings[0]!.file
      ? null
      : "recording.file is not that of the first of recordings",
    ...strikes.map((s, i) => noRecording(`strikes[${i}].recording`, s.recording)),
    ...combinations.flatMap((c, i) => c.of.map((p, j) => noPartial(`combinations[${i}].of[${j}]`, p))),
    ...(rimLaw?.partials ?? []).map((p, i) => noPartial(`rimLaw.partials[${i}]`, p)),
    equalLengths(curves.spectrum.frequencyHz, curves.spectrum.levelDb, curves.spectrum.noiseDb)
      ? null
      : "curves.spectrum has lists of different lengths",
    ...curves.ringDowns.flatMap((r, i) => [
      noPartial(`curves.ringDowns[${i}].partial`, r.partial),
      equalLengths(r.timeS, r.levelDb, r.modelDb)
        ? null
        : `curves.ringDowns[${i}] has lists of different lengths`,
    ]),
    ...findings.flatMap((f, i) =>
      f.evidence.map((e, j) => {
        const path = `findings[${i}].evidence[${j}]`;
        if (e.kind === "chart") return noPartial(`${path}.partial`, e.partial);
        if (e.kind === "time") return noRecording(`${path}.recording`, e.recording);
        if (e.kind === "number") return null;
        const odd = e.rows.findIndex((row) => row.length !== e.columns.length);
        return odd < 0 ? null : `${path}.rows[${odd}] does not have one cell for each column`;
      }),
    ),
  ];
  return complaints.find((complaint) => complaint !== null) ?? null;
}
