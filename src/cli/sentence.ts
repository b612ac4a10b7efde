/**
 * A sentence after what it is about, as every message on standard error is written: "bell.wav: the file is empty; copy
 * it again". It begins small, unless with a name or letters like WAV, and a single sentence loses its full stop.
 */
export function ledBy(where: string, sentence: string): string {
  const small = sentence.replace(/^[A-Z](?=[a-z ])/, (letter) => letter.toLowerCase());
  const isSingle = !/[.!?]\s/.test(small);
  return `${where}: ${isSingle ? small.replace(/\.$/, "") : small}`;
}
