import type { TapMeasurement } from "../../../src/measurement/index.ts";
import { soundBell } from "../../support/sample-measurement.ts";

/** What someone may name a bell, a file or a partial to run their script in the reader's browser. */
export const HOSTILE = "<script>alert(1)</script>";
const BREAKOUTS = [
  HOSTILE,
  "</script><script>alert(2)</script>",
  '"><img src=x onerror=alert(3)>',
  "' onmouseover='alert(4)",
  "</title></style><svg onload=alert(5)>",
  "<!--<script>",
  "&lt;b&gt;\u2028\u202e\u0000\u001b[31m",
];

/** What a bell may be called, one after the other; the first is harmless. */
export const HOSTILE_NAMES = [
  "a bell",
  "javascript:alert(1)//'</script></title></style><script>alert(2)</script>\"><img src=x onerror=alert(3)>' onfocus='alert(4)' autofocus x='`alert(5)`<svg onload=alert(6)><!--",
  "\u202egnp.lleb\u2066\u2028\u2029\u0000\u001b[31m\ud800&amp;&#x3c;b&#x3e;",
  "W".repeat(3000),
];

/** An invented measurement with hostile text wherever a user or a file can put text. */
export function hostileBell(): TapMeasurement {
  const bell = soundBell();
  const text = (i: number) => BREAKOUTS[i % BREAKOUTS.length]!;
  bell.options.label = HOSTILE;
  bell.options.profile = text(1);
  bell.options.pins = { [text(2)]: 440 };
  for (const recording of bell.recordings) {
    Object.assign(recording, { file: text(1), channelUse: text(2), warnings: BREAKOUTS });
  }
  bell.partials.forEach((partial, i) => {
    partial.name = text(i);
    partial.seenIn = [text(i + 1)];
  });
  bell.strikes.forEach((strike, i) => {
    strike.leftOut = text(i);
  });
  bell.interference.forEach((line, i) => {
    line.text = text(i + 2);
  });
  bell.combinations.forEach((line, i) => {
    line.text = text(i + 3);
  });
  for (const candidate of bell.strikeNote!.candidates)
    Object.assign(candidate, { method: text(1), note: text(2) });
  Object.assign(bell.strikeNote!, { method: text(3), note: text(4) });
  bell.fit.note = text(1);
  bell.fit.stopReason = text(2);
  bell.findings = BREAKOUTS.map((breakout, i) => ({
    id: `hostile-${i}`,
    title: breakout,
    outcome: (["attention", "good", "note", "not-measurable"] as const)[i % 4]!,
    text: breakout,
    evidence: [
      { kind: "number", label: breakout, value: 1, ci95: 0.1, unit: breakout },
      { kind: "table", label: breakout, columns: [breakout], rows: [[breakout], [null], [1]] },
      { kind: "time", label: breakout, fromS: 0, toS: 1, recording: 0 },
      { kind: "chart", label: breakout, chart: "beats", partial: 1 },
    ],
  }));
  return bell;
}
