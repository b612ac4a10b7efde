declare module "wav-decoder" {
  interface DecodedWav {
    sampleRate: number;
    numberOfChannels: number;
    length: number;
    channelData: Float32Array[];
  }
  interface Decode {
    /** `symmetric` divides integer codes by 2^(bits-1), on both sides of zero. */
    sync(buffer: ArrayBuffer, options?: { symmetric?: boolean }): DecodedWav;
  }
  const wavDecoder: { decode: Decode };
  export default wavDecoder;
}
