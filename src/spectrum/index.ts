export { fftLadder, type LadderStep } from "./ladder.ts";
export {
  type NoiseSpectrum,
  noiseAt,
  noiseCentresHz,
  noiseOfResidual,
  noiseOfStretch,
} from "./noise-spectrum.ts";
export { largestSizeWithin, RealFft } from "./real-fft.ts";
