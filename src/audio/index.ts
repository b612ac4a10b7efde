export { type Clipping, findClipping } from "./clipping.ts";
export { decodeRecording } from "./decode-recording.ts";
export { meanOffset } from "./mean-offset.ts";
export { type Recording, UnreadableAudioError } from "./recording.ts";
export { encodeWav16 } from "./wav-encode.ts";
