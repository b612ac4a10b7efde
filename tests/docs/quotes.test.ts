import { describe, expect, it } from "vitest";
import { readDocument } from "./markdown.ts";

// Numbers that one document takes from another: where they are measured anew, both change.

const lineEnds = /\s*\n\s*/g;
const read = (name: string): string => readDocument(`docs/${name}.md`).replace(lineEnds, " ");

/** How often the finding of a scene speaks, in the last table of awkward-recordings.md. */
const saidOf = (scene: string): RegExp =>
  new RegExp(`\\| ${scene} (?:\\| \\d+/\\d+ ){5}\\| \\d+\\.\\d \\| (\\d+)/(\\d+) \\|`);

/** The document that quotes, what it says, the document it comes from, and what stands there. */
const QUOTES: [by: string, said: string, from: string, there: RegExp][] = [
  ["limits", "$1 a recording in the test", "method", /\| gain control \| \S+ \| (\d+\.\d\d) \|/],
  ["recording-guide", "$1 a recording in", "method", /\| gain control \| \S+ \| (\d+\.\d\d) \|/],
  [
    "limits",
    "$1 of $2 partials were missed and $3 a recording",
    "method",
    /\| 128 kb\/s \| (\d+)\/(\d+) \| (\d+\.\d\d) \|/,
  ],
  [
    "recording-guide",
    "$1 of $2 partials were missed and $3",
    "method",
    /\| 128 kb\/s \| (\d+)\/(\d+) \| (\d+\.\d\d) \|/,
  ],
  ["limits", "by turns was named in $1 of $2", "awkward-recordings", saidOf("noise gate")],
  ["limits", "Of $2, $1 were named as another sound", "awkward-recordings", saidOf("speech over the ring")],
  ["limits", "$1 of $2 invented ones were called suspect", "awkward-recordings", saidOf("a cracked bell")],
  ["limits", "named it in $1 of $2 recordings", "awkward-recordings", saidOf("automatic gain")],
  [
    "limits",
    "makes $1 false lines a recording",
    "awkward-recordings",
    /\| noise suppression by bands (?:\| \d+\/\d+ ){5}\| (\d+\.\d) \|/,
  ],
  [
    "limits",
    "$1 ms after the last contact, $2 ms after a bounce",
    "method",
    /begins (\d+) ms after the last contact, (\d+) ms/,
  ],
  [
    "recording-guide",
    "begins $1 ms after the last one",
    "method",
    /after the last contact, (\d+) ms where the rod bounced/,
  ],
  ["limits", "seeable from ρ = $1 on", "method", /seeable\* when rho > (\d+)/],
  [
    "limits",
    "$1 dB under the strongest it is not listed",
    "method",
    /Lines more than some (\d+) dB under the strongest are not listed/,
  ],
  ["limits", "they held $1 % of the time", "method", /linewidths apart hold (\d+) % of the time/],
  [
    "limits",
    "a $1 to a $2 of its partials are lost",
    "method",
    /to and fro, is not taken off: a (\w+) to a (\w+) of the partials are lost/,
  ],
  ["limits", "0.2 cents in $1 %", "compare", /a common shift of 0\.2 cents in (\d+) %/],
  [
    "limits",
    "by 5 % in $1 %, by 8 % in $2 %",
    "compare",
    /ratio of 1\.05 in (\d+) % and of 1\.08 in (\d+) %/,
  ],
  ["limits", "Of $2 recommended cuts of invented bells $1 took", "series", /(\d+) of (\d+) recommended cuts/],
  ["limits", "$1 ([plan.md]", "plan", /goes by a factor of (\d\.\d+ ± \d\.\d+)/],
  ["recording-guide", "($1) 10⁻⁴ a kelvin", "plan", /\(1\/f\) df\/dT \| \(([^)]+)\) 1e-4 per kelvin/],
  ["reading-guide", "below $10 % no sentence", "findings", /\| nameConfidence \| 0\.(\d)/],
  [
    "reading-guide",
    "$1 is enough for T20, $2 for T30",
    "findings",
    /\| snrT20 \| (\d+) dB[\s\S]*\| snrT30 \| (\d+) dB/,
  ],
  ["reading-guide", "warble up to $1 beats", "findings", /\| beatFastest \| (\d+) beats/],
];

describe("the documents", () => {
  it.each(QUOTES)("%s.md says %s as %s.md does", (by, said, from, there) => {
    const match = there.exec(read(from));
    expect(match, `${from}.md no longer says ${there}; mend ${by}.md and this list`).not.toBeNull();
    const expected = said.replace(/\$(\d)/g, (_, i) => match![Number(i)]!);
    expect(read(by)).toContain(expected);
  });
});
