/** A plan was asked for with values that cannot be meant: the message says what, and what to write instead. */
export class InvalidPlanError extends Error {
  override name = "InvalidPlanError";
}
