/** A recording that holds nothing to measure. The message is one sentence with what to do about it. */
export class NotMeasurableError extends Error {
  override name = "NotMeasurableError";
}
