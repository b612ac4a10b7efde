/** A profile or a request that no forecast can be made of: the message says what is wrong, where, and what to do. */
export class InvalidShapeError extends Error {
  override name = "InvalidShapeError";
}
