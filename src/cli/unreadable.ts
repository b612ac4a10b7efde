import { CliError } from "./exit.ts";

/** The reasons the system gives, in plain words. */
export function unreadable(path: string, error: NodeJS.ErrnoException): CliError {
  switch (error.code) {
    case "ENOENT":
      return new CliError(`${path}: there is no such file; check the name and the folder`);
    case "EACCES":
    case "EPERM":
      return new CliError(`${path}: you are not allowed to read it; change its permissions or copy it`);
    case "ENOTDIR":
      return new CliError(`${path}: part of this path is a file, not a folder; check the path`);
    case "ELOOP":
      return new CliError(`${path}: its links lead in a circle; name the file itself`);
    default:
      return new CliError(
        `${path}: cannot be read (${error.code ?? error.message}); copy it elsewhere and try again`,
      );
  }
}
