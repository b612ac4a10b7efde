/** The exit statuses, which scripts rely on, and how an error becomes a status and one sentence. */

export const EXIT = {
  measured: 0,
  /** The recording was read, and nothing in it can be measured. */
  notMeasurable: 1,
  /** Wrong usage, or a file that cannot be read or written. */
  usage: 2,
  /** A fault of the tool's own (EX_SOFTWARE of sysexits.h). */
  fault: 70,
  /** 128 + SIGINT, as shells count it. */
  interrupted: 130,
} as const;

/** An error the user can act on: the message is one sentence (what, where, what to do next). */
export class CliError extends Error {
  override name = "CliError";
  readonly status: number;
  constructor(message: string, status: number = EXIT.usage) {
    super(message);
    this.status = status;
  }
}

export class InterruptedError extends CliError {
  override name = "InterruptedError";
  constructor() {
    super("interrupted; nothing was left half-written", EXIT.interrupted);
  }
}

/** Errors of the pure folders are told by name, so that telling them loads no decoder and no fit. */
const STATUS_OF_NAME: Record<string, number> = {
  NotMeasurableError: EXIT.notMeasurable,
  UnreadableAudioError: EXIT.usage,
  MeasurementError: EXIT.usage,
  InvalidPlanError: EXIT.usage,
  InvalidShapeError: EXIT.usage,
};

/** Status and sentence for anything thrown. What nobody foresaw is the tool's own fault: 70. */
export function explainError(error: unknown): { status: number; sentence: string } {
  if (error instanceof CliError) return { status: error.status, sentence: error.message };
  const name = error instanceof Error ? error.name : "";
  const message = error instanceof Error ? error.message : String(error);
  const known = STATUS_OF_NAME[name];
  if (known !== undefined) return { status: known, sentence: message };
  const firstLine = message.split("\n")[0];
  return {
    status: EXIT.fault,
    sentence: `a fault of the tool itself (${firstLine}); please report it with the output of the same command under RINGWRIGHT_DEBUG=1`,
  };
}

/** Of several statuses the worst: the largest number. */
export function worstStatus(...statuses: number[]): number {
  return Math.max(EXIT.measured, ...statuses);
}
