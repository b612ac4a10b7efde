/** A series file that cannot be used; the message is one sentence for the user, led by the line where there is one. */
export class SeriesFileError extends Error {
  override name = "SeriesFileError";
}
