import fc from "fast-check";
import { stringify } from "yaml";
import { appendPass, readSeries, STARTER_SERIES } from "../../../src/series/index.ts";
import { changeJson, jsonChanges, ODD_TEXTS } from "../json-mutations.ts";
import { mutated } from "../mutations.ts";
import { expectFiniteData, expectRefusal } from "../outcome.ts";
import { OutcomeError, type Target } from "../target.ts";

/** A file that uses every field. */
export const FULL_SERIES = {
  set: "invented row",
  a4Hz: 442,
  temperament: "just",
  tonic: "D",
  profile: "minor-third",
  anchor: "set",
  bells: [
    {
      name: "first",
      target: "C6",
      alloy: "Cu80Sn20",
      massKg: 4.2,
      diameterMm: 180,
      passes: [
        { date: "2026-05-01", recordings: ["a.json"], metalC: 19.5, airC: 20, note: "as cast" },
        { recordings: ["b.json"], removedG: 12, at: "inner lip" },
        { recordings: ["c.json"], removedMm: 0.4, at: "waist" },
      ],
    },
    { name: "second", target: 1174.7, passes: [{ recordings: ["d.json", "e.json"] }] },
  ],
};

const encoder = new TextEncoder();
const FILES = [
  STARTER_SERIES,
  stringify(FULL_SERIES),
  JSON.stringify(FULL_SERIES),
  JSON.stringify(FULL_SERIES, null, 2),
  stringify(FULL_SERIES, { collectionStyle: "flow" }).replaceAll("\n", "\r\n"),
].map((text) => encoder.encode(text));

/** What readers of YAML trip over: a text that unfolds a millionfold, circles, depth, tags, keys that are no texts. */
const KNOWN_TRICKS = [
  `a: &a [x,x,x,x,x,x,x,x,x]\n${"bcdefghi"
    .split("")
    .map((key, i) => `${key}: &${key} [${Array(9).fill(`*${"abcdefgh"[i]}`).join(",")}]`)
    .join("\n")}\nset: *i\n`,
  `set: x\nbells: &b [{name: y, target: C6, passes: *b}]\n`,
  `set: &s\n  - *s\nbells: []\n`,
  "[".repeat(20000),
  `${"[".repeat(5000)}${"]".repeat(5000)}`,
  `set: ${"{a: ".repeat(3000)}`,
  `set: x\nbells: ${"- ".repeat(2000)}x\n`,
  `? [a, b]\n: x\nset: y\nbells: [{name: a, target: C6}]\n`,
  `set: !!binary "AAAA"\nbells: [{name: a, target: !!float .nan}]\n`,
  `set: x\nbells: [{name: a, target: .inf, massKg: .nan}]\n`,
  "%YAML 1.1\n---\nset: yes\nbells: [{name: 0o17, target: 1_000, massKg: 0x10}]\n--- \nset: second document\n",
  `<<: {set: x}\nbells: [{name: a, <<: {target: C6}}]\n`,
  `set: x\nbells: [{name: a, target: C6, passes: [{recordings: ["\\0"]}]}]\n`,
  `set: x\nbells:\n  - name: |\n      a\n    target: >-\n      C6\n    passes:\n`,
];

const changed = fc.record({ changes: jsonChanges, style: fc.nat(2) }).map(({ changes, style }) => {
  const json = changeJson(FULL_SERIES, changes);
  if (style === 0) return JSON.stringify(json) ?? "";
  if (style === 1) return stringify(json) ?? "";
  return stringify(json, { collectionStyle: "flow", lineWidth: 0 }) ?? "";
});

export const seriesTexts: fc.Arbitrary<string> = fc.oneof(
  { arbitrary: changed, weight: 10 },
  {
    arbitrary: mutated(FILES, ["\n", ": ", "- "]).map((bytes) => new TextDecoder().decode(bytes)),
    weight: 9,
  },
  { arbitrary: fc.constantFrom(...KNOWN_TRICKS), weight: 1 },
);

export const SERIES_TARGET: Target<{ text: string; bell: string; note: string }> = {
  name: "series",
  what: "series files, YAML and JSON, read and lengthened by a pass",
  share: 60,
  // The tree of the parser holds some hundred bytes a character and is walked once a field.
  limits: { cpuMs: 2000, cpuMsPerMegabyte: 60_000, memoryBytes: 128 * 2 ** 20, memoryPerByte: 2000 },
  cases: fc.record({
    text: seriesTexts,
    bell: fc.constantFrom("first", "first", "second", ""),
    note: fc.constantFrom("again", ...ODD_TEXTS),
  }),
  async check({ text, bell, note }) {
    const weightBytes = 2 * text.length;
    try {
      const file = readSeries(text);
      expectFiniteData(file, "series");
      const name = file.bells.some((each) => each.name === bell) ? bell : file.bells[0]!.name;
      const longer = readSeries(appendPass(text, name, { recordings: ["new.wav"], note }));
      const passes = longer.bells.find((each) => each.name === name)!.passes;
      if (passes.at(-1)!.recordings[0] !== "new.wav")
        throw new OutcomeError("the pass is not where it was added");
      return { outcome: "accepted", weightBytes };
    } catch (error) {
      expectRefusal(error, ["SeriesFileError"]);
      return { outcome: "refused", weightBytes };
    }
  },
};
