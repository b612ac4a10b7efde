export {
  type ChosenStrikes,
  chooseStrikes,
  type FittedStrike,
  type StrikePlace,
  strikesToFit,
} from "./choose-strikes.ts";
export { NotMeasurableError } from "./errors.ts";
export { type ExaminedRecording, examineRecording } from "./examine.ts";
export {
  assembleTap,
  finishTap,
  fitStrikes,
  METHOD,
  measureTap,
  prepareTap,
  type TapInput,
} from "./measure-tap.ts";
export { fitStrike, type StrikeAudio, strikeAudio } from "./strike-audio.ts";
