export { type ByteSource, sourceOfBytes } from "./byte-source.ts";
export { type ChannelStatistics, channelStatistics } from "./channel-statistics.ts";
export { type Clipping, findClipping } from "./clipping.ts";
export { decodeRecording, openDecoded, openRecording } from "./open-recording.ts";
export { type OpenRecording, type Recording, UnreadableAudioError } from "./recording.ts";
export { BLOCK_SAMPLES, forEachBlock, type Samples, samplesOf } from "./samples.ts";
export { encodeWav16 } from "./wav-encode.ts";
