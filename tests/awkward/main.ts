import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { encodeWav16 } from "../../src/audio/index.ts";
import { decimals, markdownTable } from "../bench/markdown.ts";
import { judge, type Outcome } from "../support/awkward/judge.ts";
import { recordScene, SCENES, TABLE_SEED } from "../support/awkward/scenes.ts";

const HEAD = [
  "scene",
  "refused",
  "strike right",
  "found",
  "frequency right",
  "decay right or withheld",
  "invented a bell",
  "said",
  "or hinted at",
  "wrongly said",
];

/** Measures every scene on so many bells and prints the table of docs/awkward-recordings.md; or writes the recordings. */
export async function main(argv: string[]): Promise<number> {
  const { values } = parseArgs({
    args: argv,
    options: {
      bells: { type: "string", default: "10" },
      seed: { type: "string", default: `${TABLE_SEED}` },
      only: { type: "string" },
      list: { type: "boolean", default: false },
      write: { type: "string" },
    },
  });
  const bells = Number(values.bells);
  const seed = Number(values.seed);
  const only = values.only?.split(",");
  const unknown = only?.filter((id) => SCENES.every((scene) => scene.id !== id)) ?? [];
  if (!(bells >= 1) || !Number.isInteger(seed) || unknown.length > 0) {
    console.error("usage: awkward [--bells COUNT] [--seed N] [--only SCENE,...] [--list] [--write FOLDER]");
    console.error(`scenes: ${SCENES.map(({ id }) => id).join(", ")}`);
    return 2;
  }
  const rows: string[][] = [];
  for (const scene of SCENES) {
    if (only !== undefined && !only.includes(scene.id)) continue;
    const outcomes: Outcome[] = [];
    for (let k = 0; k < bells; k++) {
      const recorded = await recordScene(scene, seed + k);
      if (values.write !== undefined) {
        mkdirSync(values.write, { recursive: true });
        const { channels, sampleRateHz } = recorded.recording;
        writeFileSync(join(values.write, `${scene.id}-${k + 1}.wav`), encodeWav16(channels, sampleRateHz));
        continue;
      }
      const outcome = judge(scene, recorded);
      outcomes.push(outcome);
      if (values.list) console.log(`${scene.id} ${seed + k}: ${describe(outcome)}`);
    }
    rows.push(rowOf(scene.title, outcomes));
  }
  if (values.write === undefined) console.log(markdownTable(HEAD, rows));
  return 0;
}

function rowOf(title: string, outcomes: Outcome[]): string[] {
  const sum = (of: (outcome: Outcome) => number) => outcomes.reduce((total, o) => total + of(o), 0);
  const count = (of: (outcome: Outcome) => boolean) => `${outcomes.filter(of).length}/${outcomes.length}`;
  const found = sum((o) => o.found);
  return [
    title,
    count((o) => o.refused !== null),
    count((o) => o.strikeRight),
    `${found}/${sum((o) => o.wanted)}`,
    `${sum((o) => o.frequencyRight)}/${found}`,
    `${sum((o) => o.decayRight)}/${found}`,
    decimals(sum((o) => o.invented) / outcomes.length, 1),
    count((o) => o.isSaid),
    count((o) => o.isHinted),
    count((o) => o.wrong.length > 0),
  ];
}

/** One line, for those who work on the program. */
function describe(o: Outcome): string {
  if (o.refused !== null) return `refused: ${o.refused}`;
  const counts = `strike ${o.strikeRight ? "right" : "wrong"}, found ${o.found}/${o.wanted}, frequency ${o.frequencyRight}, decay ${o.decayRight}, invented ${o.invented}`;
  const wrong = o.wrong.map(({ id, title }) => `${id} "${title}"`).join(", ");
  return `${counts}, ${o.isSaid ? "said" : o.isHinted ? "hinted at" : "NOT SAID"}${wrong && `, wrong: ${wrong}`}`;
}
