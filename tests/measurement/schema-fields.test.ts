import { describe, expect, test } from "vitest";
import type { SchemaNode } from "../../src/measurement/schema-check.ts";
import type * as Tap from "../../src/measurement/tap.ts";
import { TAP_SCHEMA as schema } from "../../src/measurement/tap-schema.ts";

describe("tap-1.schema.json", () => {
  test("schema has the fields of the type, no more and no fewer", () => {
    // tsc holds each list to its interface: a field missing or too many here does not compile.
    const fields = <T>(keys: Record<keyof T, true>) => Object.keys(keys).sort();
    const lists: Record<string, string[]> = {
      estimate: fields<Tap.Estimate>({ value: true, ci95: true }),
      options: fields<Tap.TapOptions>({ label: true, a4Hz: true, profile: true, ridges: true, pins: true }),
      kind: fields<Tap.BellKind>({
        title: true,
        chosenBy: true,
        probability: true,
        strikeHalfOf: true,
        tried: true,
      }),
      expectedPartial: fields<Tap.ExpectedPartial>({
        name: true,
        idealRatio: true,
        nodalMeridians: true,
        presence: true,
      }),
      recording: fields<Tap.RecordingInfo>({
        file: true,
        format: true,
        lossy: true,
        sampleRateHz: true,
        channels: true,
        bits: true,
        durationS: true,
        clipped: true,
        clippedSamples: true,
        dcOffset: true,
        channelUse: true,
        warnings: true,
      }),
      strike: fields<Tap.StrikeInfo>({
        recording: true,
        onsetS: true,
        contactsS: true,
        fitStartS: true,
        endS: true,
        endedBy: true,
        peakDbfs: true,
        usedS: true,
        snrDb: true,
        clipped: true,
        rattle: true,
        leftOut: true,
        otherBellCents: true,
      }),
      member: fields<Tap.DoubletMember>({
        frequencyHz: true,
        decayTimeS: true,
        levelDb: true,
        phaseRad: true,
      }),
      doublet: fields<Tap.Doublet>({ members: true, splitHz: true, beatDepthDb: true }),
      partial: fields<Tap.TapPartial>({
        name: true,
        nameConfidence: true,
        nodalMeridians: true,
        frequencyHz: true,
        decayTimeS: true,
        levelDb: true,
        phaseRad: true,
        q: true,
        lossFactor: true,
        levelDba: true,
        ratio: true,
        idealRatio: true,
        deviationCents: true,
        doublet: true,
        strikeSpreadHz: true,
        strikeSpreadS: true,
        rho: true,
        seenIn: true,
      }),
      interference: fields<Tap.Interference>({ frequencyHz: true, levelDb: true, kind: true, text: true }),
      combination: fields<Tap.Combination>({ frequencyHz: true, levelDb: true, of: true, text: true }),
      strikeNoteCandidate: fields<Tap.StrikeNoteCandidate>({
        frequencyHz: true,
        method: true,
        weight: true,
        note: true,
        cents: true,
      }),
      strikeNote: fields<Tap.StrikeNote>({
        frequencyHz: true,
        note: true,
        cents: true,
        method: true,
        confidence: true,
        candidates: true,
      }),
      sustain: fields<Tap.Sustain>({ t60S: true, edtS: true, t20S: true, t30S: true, audibleS: true }),
      brightness: fields<Tap.Brightness>({ centroidHz: true, centroidRatio: true, ratioTo: true }),
      rimLaw: fields<Tap.RimLaw>({ c: true, b: true, p: true, rmsCents: true, partials: true }),
      fit: fields<Tap.FitReport>({
        freeDecay: true,
        note: true,
        glidePercent: true,
        noisePassedDb: true,
        otherSoundS: true,
        startAfterContactS: true,
        noiseFrom: true,
        medianChi: true,
        linesTried: true,
        linesKept: true,
        stopReason: true,
      }),
      spectrumCurve: fields<Tap.SpectrumCurve>({ frequencyHz: true, levelDb: true, noiseDb: true }),
      ringDownCurve: fields<Tap.RingDownCurve>({
        partial: true,
        timeS: true,
        levelDb: true,
        modelDb: true,
        noiseDb: true,
      }),
      finding: fields<Tap.Finding>({ id: true, title: true, outcome: true, text: true, evidence: true }),
    };
    const measurement = fields<Tap.TapMeasurement>({
      schema: true,
      tool: true,
      options: true,
      kind: true,
      expectedPartials: true,
      recording: true,
      recordings: true,
      strikes: true,
      partials: true,
      interference: true,
      combinations: true,
      strikeNote: true,
      sustain: true,
      brightness: true,
      rimLaw: true,
      fit: true,
      curves: true,
      findings: true,
    });
    const namesOf = (node: SchemaNode | undefined) => Object.keys(node?.properties ?? {}).sort();
    expect(namesOf(schema)).toEqual(measurement);
    for (const [name, list] of Object.entries(lists))
      expect(namesOf(schema.$defs?.[name]), name).toEqual(list);
    const defined = Object.keys(schema.$defs ?? {}).filter((name) => schema.$defs?.[name]?.properties);
    expect(defined.filter((name) => !(name in lists))).toEqual(["positiveEstimate"]);
  });
});
