import type { TapMeasurement } from "../../src/measurement/index.ts";

/** A spectral line that an independent way finds in a recording. */
export interface KnownLine {
  hz: number;
  /** How far a right one may lie off, Hz. */
  tolHz: number;
  /** Under the strongest, dB. */
  db: number;
}

/** What is known of one bell: an entry of `bells` of lines.json. */
export interface KnownBell {
  noteHz: number;
  lines: KnownLine[];
  /** Partial name to the line that it is, Hz. */
  names: Record<string, number>;
}

export type NameVerdict = "right" | "wrong" | "withheld";

/** One measurement held against what is known. */
export interface RealScore {
  /** Lines within 35 dB of the strongest. */
  lines: number;
  missed: KnownLine[];
  names: Record<string, { verdict: NameVerdict; isHz: number; saidHz: number | null }>;
  note: { right: boolean; isHz: number; saidHz: number | null };
  freeDecay: boolean;
  /** Of findings that ask for attention. */
  attention: { id: string; title: string }[];
}

const WITHIN_DB = 35;
/** A line is found within its own tolerance or this, Hz. */
const LEAST_TOLERANCE_HZ = 0.8;
/** A name is right within this part of the frequency, or 1 Hz: the members of a pair lie that far apart. */
const NAME_WITHIN = 0.004;
/** Half a semitone. */
const NOTE_WITHIN_CENTS = 50;

/** Holds a measurement against what is known of the bell; null is a recording that was refused. */
export function scoreReal(known: KnownBell, m: TapMeasurement | null): RealScore {
  const listed = (m?.partials ?? [])
    .flatMap((p) => p.doublet?.members ?? [p])
    .map((l) => l.frequencyHz.value);
  const lines = known.lines.filter(({ db }) => db >= -WITHIN_DB);
  const named = new Map((m?.partials ?? []).map((p) => [p.name, p.frequencyHz.value]));
  const saidNoteHz = m?.strikeNote?.frequencyHz.value ?? null;
  const cents = saidNoteHz === null ? Number.NaN : 1200 * Math.log2(saidNoteHz / known.noteHz);
  const verdictOf = (name: string, isHz: number) => {
    const saidHz = named.get(name) ?? null;
    if (saidHz === null) return { verdict: "withheld" as const, isHz, saidHz };
    const isRight = Math.abs(saidHz - isHz) < Math.max(1, NAME_WITHIN * isHz);
    return { verdict: isRight ? ("right" as const) : ("wrong" as const), isHz, saidHz };
  };
  return {
    lines: lines.length,
    missed: lines.filter(({ hz, tolHz }) =>
      listed.every((f) => Math.abs(f - hz) >= Math.max(LEAST_TOLERANCE_HZ, tolHz)),
    ),
    names: Object.fromEntries(Object.entries(known.names).map(([name, hz]) => [name, verdictOf(name, hz)])),
    note: { right: Math.abs(cents) <= NOTE_WITHIN_CENTS, isHz: known.noteHz, saidHz: saidNoteHz },
    freeDecay: m?.fit.freeDecay ?? false,
    attention: (m?.findings ?? [])
      .filter(({ outcome }) => outcome === "attention")
      .map(({ id, title }) => ({ id, title })),
  };
}
