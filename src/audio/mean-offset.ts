/** The mean of the samples (the direct-current offset, in the samples' unit); null for none. */
export function meanOffset(channel: Float32Array): number | null {
  if (channel.length === 0) return null;
  let sum = 0;
  for (let i = 0; i < channel.length; i++) sum += channel[i];
  return sum / channel.length;
}
