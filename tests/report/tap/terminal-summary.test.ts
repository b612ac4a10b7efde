import { describe, expect, test } from "vitest";
import type { TapMeasurement } from "../../../src/measurement/index.ts";
import { terminalSummary } from "../../../src/report/index.ts";
import { cellWidth } from "../../../src/report/terminal/cells.ts";
import {
  crackedBell,
  emptyMeasurement,
  noisyRecording,
  soundBell,
} from "../../support/sample-measurement.ts";
import { hostileBell } from "../support/hostile.ts";

const ESCAPE = "\u001b";
const ALL: [string, () => TapMeasurement][] = [
  ["soundBell", () => soundBell()],
  ["crackedBell", () => crackedBell()],
  ["noisyRecording", () => noisyRecording()],
  ["emptyMeasurement", () => emptyMeasurement()],
  ["hostileBell", hostileBell],
];

describe("terminalSummary", () => {
  test.each(ALL)(
    "terminalSummary(%s) fits 80 columns where the width is not known, and 40 to 100 where it is",
    (_, make) => {
      for (const width of [null, 80, 40, 100]) {
        for (const line of terminalSummary(make(), { width, colour: false }).split("\n")) {
          expect(cellWidth(line)).toBeLessThanOrEqual(width ?? 80);
        }
      }
    },
  );

  test.each(ALL)("terminalSummary(%s) says the same without colour, and then holds no escape", (_, make) => {
    const plain = terminalSummary(make(), { width: 80, colour: false });
    const coloured = terminalSummary(make(), { width: 80, colour: true });
    expect(plain).not.toContain(ESCAPE);
    expect(coloured.replaceAll(new RegExp(`${ESCAPE}\\[[\\d;]*m`, "g"), "")).toBe(plain);
  });

  test("terminalSummary(m) lets no control character of a label or a file through", () => {
    const text = terminalSummary(hostileBell(), { width: 80, colour: false });
    // biome-ignore lint/suspicious/noControlCharactersInRegex: what must not be there
    expect(text.replaceAll("\n", "")).not.toMatch(/[\u0000-\u001f\u007f-\u009f\u202a-\u202e\u2028]/);
    expect(text).toContain("<script>alert(1)</script>");
  });

  test("terminalSummary(m) of a sound bell: sentence, table, splits, lines that are no partials, recording", () => {
    expect(terminalSummary(soundBell({ findings: [] }), { width: 80, colour: false })).toBe(
      `Invented sound bell sounds C5 -0.20 ± 0.20 cents (523.200 ± 0.060 Hz), falls by
60 dB in 8.10 ± 0.30 s as a whole and shows 8 partials (7 named, 2 split in two
or more); those that are tuned one by one lie from -18.86 ± 0.10 cents to
+9.05 ± 0.10 cents against their ideals.

partial           Hz                  ratio  cents         T60 s          dB
1 hum              261.2000 ±0.0010  0.5010   +3.32 ±0.10  44.31 ±0.89    -8
2 prime            521.4000 ±0.0011       1    0.00 ±0.10  19.17 ±0.38    -5
3 tierce           618.9000 ±0.0013  1.1870  -18.86 ±0.10  16.92 ±0.34    -2
4 quint            786.2000 ±0.0023  1.5079   +9.05 ±0.10   9.64 ±0.19   -15
5 nominal         1046.8000 ±0.0027  2.0077   +6.63 ±0.10   8.08 ±0.16     0
6 -               1391.6000 ±0.0047  2.6690       -        4.647 ±0.093  -24
7 superquint      1572.1000 ±0.0052  3.0152   +8.72 ±0.10  4.238 ±0.085   -4
8 octave nominal  2171.5000 ±0.0089  4.1647  +69.88 ±0.10  2.470 ±0.049   -8

Sure of the names
  hum 95%, prime 95%, tierce 95%, quint 95%, nominal 95%, superquint 95%,
    octave nominal 95%

Splits
  2 prime: 2 members 0.4200 ± 0.0034 Hz apart: one beat in 2.381 ± 0.020 s,
    about 13 dB deep
  7 superquint: 2 members 0.900 ± 0.016 Hz apart: one beat in 1.111 ± 0.019 s,
    about 6 dB deep

Interference
  near 100 Hz, about -61 dB: 2nd harmonic of 50 Hz mains

Combinations
  near 2094 Hz, about -52 dB: second harmonic of nominal

Recording
  invented-sample.wav: wav, 24 bit, 48000 Hz, 1 channel, 24.0 s, the only
    channel
  2 strikes found, 2 used
  No interval holds the recorder's own clock: it may be off by some 50 parts in
    a million, 0.1 cents, on all frequencies alike (common practice, no source);
    ratios are free of it.
`,
    );
  });

  test("terminalSummary(m) names the columns that a narrow terminal has no room for", () => {
    expect(terminalSummary(soundBell(), { width: 60, colour: false })).toContain(
      "(no room for: ratio, dB, cents)",
    );
  });

  test("terminalSummary(m) puts what asks for attention before the rest and gives the numbers it rests on", () => {
    const m = soundBell({
      findings: [
        { id: "a", title: "Quiet", outcome: "good", text: "It is.", evidence: [] },
        {
          id: "b",
          title: "It warbles",
          outcome: "attention",
          text: "The prime beats.",
          evidence: [{ kind: "number", label: "split", value: 0.42, ci95: 0.03, unit: "Hz" }],
        },
        { id: "c", title: "Length", outcome: "not-measurable", text: "No strike.", evidence: [] },
        { id: "d", title: "Noise", outcome: "not-measurable", text: "No strike.", evidence: [] },
      ],
    });
    const text = terminalSummary(m, { width: 80, colour: false });
    // Under the one sentence, before any table.
    expect(text.split("\n\n")[0]!.split("\n").at(-1)).toBe("! For attention: It warbles.");
    expect(text).toContain(
      `Findings
  ! attention: It warbles. The prime beats.
    split 0.420 ± 0.030 Hz
  + good: Quiet. It is.
  - not measurable: Length, Noise. No strike.
`,
    );
  });

  test("terminalSummary(m) names what the profile expects and was not found", () => {
    const text = terminalSummary(crackedBell(), { width: 80, colour: false });
    expect(text).toContain("Expected by the profile, not found\n  quint\n");
  });

  test("terminalSummary(m) tells what is wrong with a recording and its strikes", () => {
    const text = terminalSummary(noisyRecording(), { width: 100, colour: false }).replace(/\n {4}/g, " ");
    expect(text).toContain("lossy coding, which removes weak partials; clipped: 212 samples at full scale");
    expect(text).toContain("constant offset of 1.1 % of full scale removed");
    expect(text).toContain("strike 1 at 0.31 s: 2 contacts of the rod, clipped");
  });

  test("terminalSummary(m) of nothing says so in its first line and has no table", () => {
    const text = terminalSummary(emptyMeasurement(), { width: 80, colour: false });
    expect(text).toMatch(/^Bell from standard input gave no partial/);
    expect(text).not.toContain("T60 s");
    expect(text).toContain("no strike found");
  });

  test("terminalSummary(m) tells what the fit noted once: in its finding, or with the recording where none tells it", () => {
    const bell = soundBell();
    const note = "The early part of the ring departs from free decays.";
    const noted = { ...bell, fit: { ...bell.fit, note } };
    const told = {
      ...noted,
      findings: [{ ...bell.findings[0]!, outcome: "note" as const, text: `${note} Record again.` }],
    };
    for (const m of [noted, told]) {
      const text = terminalSummary(m, { width: 100, colour: false }).replace(/\s+/g, " ");
      expect(text.split(note)).toHaveLength(2);
    }
  });
});
