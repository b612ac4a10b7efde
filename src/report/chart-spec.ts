/**
 * What the pages hand to the client script: charts and sounds as plain data. The pure side decides what is drawn, the
 * client draws it. A "mark" is the number of the thing a row, a point, a line or a sound stands for (here the index of
 * a partial): choosing a row lights up everything that carries its mark.
 */

export interface TickSpec {
  at: number;
  text: string;
}

export interface AxisSpec {
  title: string;
  scale: "linear" | "log";
  min: number;
  max: number;
  /** Where to write; null leaves it to the chart. */
  ticks: TickSpec[] | null;
}

/** How a line looks; each has its own dash as well as its own ink, so that grey prints tell them apart. */
export type LineLook =
  | "measured"
  | "model"
  | "noise"
  | "together"
  | "member"
  | "other-member"
  | "first"
  | "second";

export interface LineSpec {
  look: LineLook;
  x: number[];
  /** null breaks the line. */
  y: (number | null)[];
  mark: number | null;
  /** Drawn only while its mark is chosen. */
  onlyChosen: boolean;
}

/** How a point looks; shapes differ as well as inks. */
export type PointLook = "partial" | "combination" | "interference" | "first" | "second";

export interface PointSpec {
  look: PointLook;
  x: number;
  y: number;
  /** Half-width of the interval along x, or null to draw none. */
  ci95X: number | null;
  /** Written beside the point or in the band above the chart; "" writes nothing. */
  label: string;
  /** One or two short lines shown when pointed at. */
  tip: string[];
  mark: number | null;
}

export interface ChartSpec {
  /** Id of the canvas. */
  id: string;
  heightPx: number;
  x: AxisSpec;
  y: AxisSpec;
  lines: LineSpec[];
  points: PointSpec[];
  /** "band" writes them above the chart with leaders, "beside" at the right of each point. */
  labels: "band" | "beside";
  /** A line across at this x, e.g. the ideal; null for none. */
  ruleX: number | null;
}

/** [frequency Hz, decay rate 1/s, amplitude, phase rad] of one damped sinusoid. */
export type VoiceMember = [number, number, number, number];

/** Something to hear: a sum of damped sinusoids. */
export interface VoiceSpec {
  mark: number | null;
  /** How the player names it, e.g. "hum alone". */
  label: string;
  members: VoiceMember[];
}

/**
 * Sounds one after the other, or one of them, at amplitudes that are taken as they are, so that one can be held against
 * another: 1 is full scale.
 */
export interface TurnsSpec {
  mark: number | null;
  label: string;
  turns: VoiceMember[][];
}

export interface PageData {
  charts: ChartSpec[];
  voices: (VoiceSpec | TurnsSpec)[];
}
