/**
 * Puts the stretches a decoder handed out, one array a channel each, end to end.
 *
 * @param pieces all with the same channel count, which is the first one's
 */
export function joinPieces(pieces: Float32Array[][]): Float32Array[] {
  if (pieces.length === 0) return [];
  const total = pieces.reduce((sum, piece) => sum + piece[0].length, 0);
  return pieces[0].map((_, channel) => {
    const joined = new Float32Array(total);
    let offset = 0;
    for (const piece of pieces) {
      joined.set(piece[channel], offset);
      offset += piece[channel].length;
    }
    return joined;
  });
}
