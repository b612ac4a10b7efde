export { type Recording, UnreadableAudioError } from "./recording.ts";
