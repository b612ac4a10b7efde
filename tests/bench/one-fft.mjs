// Reads a WAV file and takes one real FFT of the whole record: the least that any spectral program does.
import { readFileSync } from "node:fs";
import FFT from "fft.js";
import { decode } from "wav-decoder";

const { channelData } = await decode(readFileSync(process.argv[2]));
let size = 2;
while (size < channelData[0].length) size *= 2;
const padded = new Float64Array(size);
padded.set(channelData[0]);
const fft = new FFT(size);
const out = fft.createComplexArray();
fft.realTransform(out, padded);
console.log(out[2]);
