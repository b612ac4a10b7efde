import { makeRandom } from "../synthetic/index.ts";
import { BELL_SCENES } from "./bell-scenes.ts";
import { FILE_SCENES } from "./file-scenes.ts";
import { RECORDER_SCENES } from "./recorder-scenes.ts";
import type { AwkwardRecording, Scene } from "./scene.ts";

/** In the order of docs/awkward-recordings.md. */
export const SCENES: Scene[] = [...BELL_SCENES, ...RECORDER_SCENES, ...FILE_SCENES];

/**
 * The first seeds of three sets that share none, each of at most a hundred: on the first the program may be worked, the second
 * makes the table, the third is for the tests.
 */
export const DESIGN_SEED = 1;
export const TABLE_SEED = 101;
export const TEST_SEED = 201;

/** The recording of a scene; every scene has bells of its own. */
export async function recordScene(scene: Scene, seed: number): Promise<AwkwardRecording> {
  // Spreads the bits, so that neighbours share nothing; the order of the scenes may change.
  let mixed = 0;
  for (const letter of scene.id) mixed = (31 * mixed + letter.charCodeAt(0)) | 0;
  return scene.make(makeRandom(mixed + seed));
}
