export { largestSizeWithin, RealFft } from "./real-fft.ts";
