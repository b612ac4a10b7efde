import type { Io } from "./io.ts";

/** A progress line appears once the work has taken this long. */
const PATIENCE_MS = 1000;
const CLEAR_LINE = "\r\u001b[K";

export interface Progress {
  /** Says what is being done now; drawn only on a terminal and only after a second of work. */
  show(text: string): void;
  /** Takes the line off the screen, before anything else is written or at the end. */
  clear(): void;
}

/** One line on stderr, redrawn in place. Long names are cut to the width of the terminal. */
export function createProgress(stderr: Io["stderr"], enabled: boolean, nowMs: () => number): Progress {
  if (!enabled) return { show: () => {}, clear: () => {} };
  const startedMs = nowMs();
  let drawn = false;
  let timer: NodeJS.Timeout | undefined;
  const draw = (text: string): void => {
    const width = (stderr.columns ?? 80) - 1;
    stderr.write(`${CLEAR_LINE}${text.length > width ? `${text.slice(0, width - 1)}…` : text}`);
    drawn = true;
  };
  return {
    show(text) {
      clearTimeout(timer);
      const waitMs = startedMs + PATIENCE_MS - nowMs();
      if (waitMs <= 0) return draw(text);
      timer = setTimeout(draw, waitMs, text);
      timer.unref();
    },
    clear() {
      clearTimeout(timer);
      if (drawn) stderr.write(CLEAR_LINE);
      drawn = false;
    },
  };
}
