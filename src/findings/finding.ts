import type { Evidence, Finding, FindingOutcome, TapMeasurement } from "../measurement/index.ts";

/** A measurement before anything is said about it. */
export type Measured = Omit<TapMeasurement, "findings">;

/** What a finding may ask for by name. */
export type Input = Exclude<keyof Measured, "schema" | "tool">;

/** What a finding is handed: its needs, none of them null, and what else it looks at. */
export type Picked<Need extends Input, Use extends Input> = {
  readonly [Name in Need]: NonNullable<Measured[Name]>;
} & { readonly [Name in Use]: Measured[Name] };

export interface Assessment {
  outcome: FindingOutcome;
  /** Short heading in plain words. */
  title: string;
  /** Sentences; every number in them with its interval, unless it is a count or a fixed threshold. */
  text: string;
  evidence: Evidence[];
}

export interface FindingSpec<Need extends Input, Use extends Input> {
  /** The file's name, a noun. */
  id: string;
  /** Heading where there is nothing to judge by. */
  subject: string;
  /** Missing, null or empty: the finding is not measurable. */
  needs: readonly Need[];
  /** Looked at as well; may be null or empty. */
  uses: readonly Use[];
  /** Pure; reads nothing but what it is handed. */
  assess(picked: Picked<Need, Use>): Assessment;
}

/** A finding as the register holds it, whatever it needs. */
export interface FindingRule {
  id: string;
  needs: readonly Input[];
  uses: readonly Input[];
  find(measured: Measured): Finding;
}

const WHY_MISSING: Record<Input, string> = {
  options: "the measurement does not say how it was made",
  kind: "the measurement does not say what kind of bell it is",
  expectedPartials: "the profile names no partials",
  recording: "the measurement does not describe its recording",
  recordings: "the measurement does not describe its recordings",
  strikes: "no strike was found in the recording",
  partials: "no partial of the bell was found",
  interference: "the measurement lists no interference",
  combinations: "the measurement lists no combination tones",
  strikeNote: "the partials do not settle on a strike note",
  sustain: "the decay of the whole sound was not measured",
  brightness: "the brightness was not measured",
  rimLaw: "too few rim partials were named to place them in a row",
  fit: "the measurement does not say how its partials were fitted",
  curves: "the measurement holds no curves",
};

/** An assessment of what cannot be judged, and why. */
export function notMeasurable(title: string, text: string, evidence: Evidence[] = []): Assessment {
  return { outcome: "not-measurable", title, text, evidence };
}

function isMissing(value: unknown): boolean {
  return value === undefined || value === null || (Array.isArray(value) && value.length === 0);
}

/** Hands `assess` what the finding declared, and nothing else; a throw inside it ends as a plain reason. */
function assessPicked<Need extends Input, Use extends Input>(
  spec: FindingSpec<Need, Use>,
  measured: Measured,
): Assessment {
  const missing = spec.needs.find((name) => isMissing(measured[name]));
  if (missing !== undefined) {
    return notMeasurable(spec.subject, `Cannot be judged: ${WHY_MISSING[missing]}.`);
  }
  const names: readonly Input[] = [...spec.needs, ...spec.uses];
  const picked = Object.fromEntries(names.map((name) => [name, measured[name]]));
  try {
    // The entries are the declared ones, and the needed ones are not null: just checked.
    return spec.assess(picked as Picked<Need, Use>);
  } catch (error) {
    const reason = error instanceof Error ? error.message : String(error);
    return notMeasurable(
      spec.subject,
      `Cannot be judged: this check failed (${reason}); the other findings stand. Keep the saved measurement to report the fault.`,
    );
  }
}

/** Turns a typed description into an entry of the register. */
export function defineFinding<const Need extends Input, const Use extends Input>(
  spec: FindingSpec<Need, Use>,
): FindingRule {
  return {
    id: spec.id,
    needs: spec.needs,
    uses: spec.uses,
    find(measured) {
      const { title, outcome, text, evidence } = assessPicked(spec, measured);
      return { id: spec.id, title, outcome, text, evidence };
    },
  };
}
