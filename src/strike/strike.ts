/** One strike found in a recording: where it rings free, and where the quiet is. Samples count from the start of the recording. */
export interface Strike {
  /** First contact of the rod. */
  onsetSample: number;
  /** False when the recording begins in the ring: onsetSample is then the first sample, and levels at the strike are levels there. */
  onsetSeen: boolean;
  /** Every contact within this strike, ascending; the first is onsetSample. A strong echo looks like a contact and counts as one. */
  contactSamples: number[];
  /** Earliest sample at which a fit may begin: a few ms after the last contact (40 ms where the rod bounced), after clipping has ended. */
  ringStartSample: number;
  /** One past the last usable sample of the ring-down. */
  endSample: number;
  endedBy: "end of recording" | "next strike" | "noise floor" | "hand damping" | "cut off";
  /** Peak of any channel, dB re full scale. */
  peakDbfs: number;
  /** Level of the first 50 ms over the noise, dB; where there is no quiet, over the quietest 50 ms, so at least this. */
  snrDb: number;
  clipped: boolean;
  rattle: boolean;
}

/** A stretch without ringing, for the noise spectrum; [start, end). */
export interface QuietStretch {
  startSample: number;
  endSample: number;
  /** "before the strike" is background; "after the ring" may hold the last of the ring. */
  where: "before the strike" | "after the ring";
}

export interface StrikeSearch {
  strikes: Strike[];
  /** Index into strikes of the best one to measure (loudest unclipped with a long free ring); -1 when there is none. */
  best: number;
  quiet: QuietStretch | null;
  /** When strikes is empty: one sentence why, with what to do. */
  reason: string | null;
}
