/** One line of a wall, from the crown (or the upper end of an open tube) to the lip: radii and heights, metres. */
export interface WallLine {
  readonly rM: Float64Array;
  readonly zM: Float64Array;
}

/** What repeats `count` times around a wall: the amplitude of cos(count theta + phase), outward positive. */
export interface Ripple {
  readonly wall: "outer" | "inner";
  readonly count: number;
  readonly amplitudeM: number;
  readonly phaseRad: number;
  /** Where it is known along the wall: amplitude at each height. */
  readonly zM?: Float64Array;
  readonly amplitudeAtM?: Float64Array;
}

/** What was done to a profile while it was read; worded where it is shown. */
export interface ProfileNote {
  readonly code: string;
  readonly numbers: readonly number[];
}

/** A rotational bell: its outer and its inner wall. r >= 0; z upwards from any origin. */
export interface Profile {
  readonly outer: WallLine;
  readonly inner: WallLine;
  readonly sizeOf: "casting" | "pattern";
  readonly ripples: readonly Ripple[];
  readonly notes: readonly ProfileNote[];
}
