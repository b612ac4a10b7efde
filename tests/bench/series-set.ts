import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { encodeWav16 } from "../../src/audio/index.ts";
import { makeRandom } from "../support/synthetic/index.ts";

const RATE = 44100;
const LENGTH_S = 4;
const BELLS = 12;
const PASSES = 4;
const RATIOS = [0.5, 1, 1.2, 1.5, 2, 3, 4];
const T60_S = [14, 8, 7, 4, 3.5, 2.5, 1.8];
const LEVELS = [0.1, 0.14, 0.1, 0.05, 0.18, 0.1, 0.07];

/** Frequencies that a recording of the invented set was made with, Hz. */
export interface SeriesTruth {
  file: string;
  bell: string;
  pass: number;
  frequenciesHz: number[];
}

/**
 * Writes an invented row of twelve bells with four tuning passes each, `recordings` WAVs in all, and its series file.
 * Every bell starts up to 60 cents sharp and loses 4 to 9 cents a pass, each partial its own share.
 */
export function writeSeriesSet(folder: string, recordings: number): SeriesTruth[] {
  mkdirSync(folder, { recursive: true });
  const random = makeRandom(20);
  const truth: SeriesTruth[] = [];
  const yaml = ["set: invented row", "bells:"];
  const each = Math.floor(recordings / (BELLS * PASSES));
  let extra = recordings - each * BELLS * PASSES;
  for (let b = 0; b < BELLS; b++) {
    const prime = 523.2511 * 2 ** (b / 12);
    const start = RATIOS.map(() => random.between(10, 60));
    const fall = RATIOS.map(() => random.between(0.4, 0.9));
    yaml.push(`  - name: bell ${b + 1}`, `    target: ${prime.toFixed(4)}`, "    passes:");
    for (let p = 0; p < PASSES; p++) {
      const cents = start.map((c, i) => c - 10 * p * fall[i]);
      const frequenciesHz = RATIOS.map((r, i) => prime * r * 2 ** (cents[i] / 1200));
      const files: string[] = [];
      const count = each + (extra-- > 0 ? 1 : 0);
      for (let r = 0; r < count; r++) {
        const file = `b${b + 1}-p${p}-${r + 1}.wav`;
        writeFileSync(join(folder, file), strikeOf(frequenciesHz, random));
        truth.push({ file, bell: `bell ${b + 1}`, pass: p, frequenciesHz });
        files.push(file);
      }
      yaml.push(`      - recordings: [${files.join(", ")}]`);
      if (p > 0) yaml.push("        removedG: 10", "        at: inner lip");
    }
  }
  writeFileSync(join(folder, "row.yaml"), `${yaml.join("\n")}\n`);
  return truth;
}

function strikeOf(frequenciesHz: number[], random: ReturnType<typeof makeRandom>): Uint8Array {
  const x = new Float32Array(RATE * LENGTH_S);
  const onset = Math.round(0.3 * RATE);
  const blow = random.between(0.6, 1);
  frequenciesHz.forEach((f, i) => {
    const alpha = Math.log(1000) / T60_S[i];
    const level = blow * LEVELS[i] * random.between(0.8, 1.2);
    for (let n = onset; n < x.length; n++) {
      const t = (n - onset) / RATE;
      x[n] += level * Math.exp(-alpha * t) * Math.sin(2 * Math.PI * f * t);
    }
  });
  for (let n = 0; n < x.length; n++) x[n] += 2e-4 * random.normal();
  return encodeWav16([x], RATE);
}
