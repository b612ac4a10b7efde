import type { Profile } from "../bell/index.ts";
import type { Context } from "./context.ts";
import { CliError } from "./exit.ts";
import { readInput } from "./inputs.ts";
import { nearest } from "./nearest.ts";

/**
 * The profile that `--profile` means: a built-in one by its id, or a JSON file of the user's own, told by its ending
 * or by a folder in its name. Without a value the default one.
 *
 * @throws CliError that names the option or the file
 */
export async function loadProfile(text: string | undefined, context: Context): Promise<Profile> {
  const bell = await import("../bell/index.ts");
  if (text === undefined) return bell.profileById(bell.DEFAULT_PROFILE_ID);
  if (/\.json$|[/\\]/i.test(text))
    return parseFile(text, await readInput(text, context.io), bell.parseProfile);
  const known = bell.profileIds();
  if (known.includes(text)) return bell.profileById(text);
  const guess = nearest(text, known);
  throw new CliError(
    `--profile knows ${known.join(", ")} or a JSON file, not "${text}"${guess ? `; did you mean ${guess}?` : ""}`,
  );
}

function parseFile(
  path: string,
  { bytes }: { bytes: Uint8Array },
  parse: (json: unknown) => Profile,
): Profile {
  const text = new TextDecoder().decode(bytes);
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch (error) {
    const why = error instanceof Error ? error.message.split("\n")[0] : "";
    throw new CliError(`--profile ${path}: this is not JSON (${why}); mend it, or copy a built-in profile`);
  }
  try {
    return parse(json);
  } catch (error) {
    // The reader of profiles refuses with a RangeError of one sentence.
    if (error instanceof RangeError) throw new CliError(`--profile ${path}: ${error.message}`);
    throw error;
  }
}
