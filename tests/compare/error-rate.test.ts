import { describe, expect, test } from "vitest";
import { type Comparison, compareCastings } from "../../src/compare/index.ts";
import { makeRandom, type Random } from "../support/synthetic/random.ts";
import { inventCasting, strikeCasting, type TruePartial } from "./support/struck-castings.ts";

const TRIALS = 500;
const FACTS = { label: "invented", alloy: null, massKg: null, diameterM: null };

const KINDS = ["nothing", "pitch only", "damping only", "one partial moved"] as const;
type Kind = (typeof KINDS)[number];

interface Trial {
  kind: Kind;
  strikes: number;
  comparison: Comparison;
  /** Index of the pair that moved. */
  moved: number;
}

/** A second casting of the pattern, changed in the one way that the kind names, by more than can be overheard. */
function change(casting: TruePartial[], kind: Kind, moved: number, random: Random): TruePartial[] {
  const shift = 2 ** ((random.sign() * random.between(10, 60)) / 1200);
  const longer = random.pick([random.between(1.4, 3), 1 / random.between(1.4, 3)]);
  return casting.map((partial, i) => {
    if (kind === "pitch only") return { ...partial, frequencyHz: partial.frequencyHz * shift };
    if (kind === "damping only") return { ...partial, decayTimeS: partial.decayTimeS * longer };
    if (kind === "one partial moved" && i === moved)
      return { ...partial, frequencyHz: partial.frequencyHz * shift };
    return partial;
  });
}

function run(trial: number): Trial {
  const random = makeRandom(9000 + trial);
  const kind = KINDS[trial % KINDS.length];
  const strikes = random.integer(2, 5);
  const casting = inventCasting(random);
  const moved = random.integer(0, casting.length - 1);
  const other = change(casting, kind, moved, random);
  const a = strikeCasting(casting, strikes, random);
  const b = strikeCasting(other, random.integer(2, 5), random);
  return {
    kind,
    strikes,
    moved,
    comparison: compareCastings([
      { ...FACTS, measurement: a },
      { ...FACTS, measurement: b },
    ]),
  };
}

/** Statements that the truth contradicts. */
function falseStatements({ kind, moved, comparison }: Trial): string[] {
  const { common, pairs, samePattern } = comparison;
  const { pitch, decay } = common!;
  const statements = [`pitch ${pitch.kind}`, `decay ${decay.kind}`];
  const truePitch = {
    nothing: "none",
    "pitch only": "common",
    "damping only": "none",
    "one partial moved": "some",
  }[kind];
  const trueDecay = kind === "damping only" ? "common" : "none";
  // Not to notice a change is no false statement; to name one that is not there is.
  const allowed = [`pitch ${truePitch}`, `decay ${trueDecay}`, "pitch none", "decay none"];
  return [
    ...statements.filter((statement) => !allowed.includes(statement)),
    ...(samePattern.outcome === "same" ? [] : [`pattern ${samePattern.outcome}`]),
    ...(pitch.kind === "some" && (pitch.moved.length !== 1 || pitch.moved[0] !== moved)
      ? ["moved another"]
      : []),
    ...pairs.flatMap((pair, i) => [
      ...(pair.frequencyChanged && kind !== "pitch only" && !(kind === "one partial moved" && i === moved)
        ? ["a frequency changed"]
        : []),
      ...(pair.decayChanged && kind !== "damping only" ? ["a decay changed"] : []),
    ]),
  ];
}

/** Whether the change that was made is told. */
function isTold({ kind, moved, comparison }: Trial): boolean {
  const { common, pairs } = comparison;
  const { pitch, decay } = common!;
  if (kind === "nothing") return pitch.kind === "none" && decay.kind === "none";
  if (kind === "pitch only") return pitch.kind === "common" && decay.kind === "none";
  if (kind === "damping only")
    return pitch.kind === "none" && decay.kind === "common" && pairs.some((pair) => pair.beyondStrikeSpread);
  return pitch.kind === "some" && pitch.moved.includes(moved) && decay.kind === "none";
}

describe("compareCastings(inputs) over 500 invented pairs", () => {
  const trials = Array.from({ length: TRIALS }, (_, trial) => run(trial));
  test("x", () => {
    for (const kind of KINDS) {
      const of = trials.filter((trial) => trial.kind === kind);
      const wrong = of.filter((trial) => falseStatements(trial).length > 0);
      console.log(
        kind,
        of.length,
        "told",
        of.filter(isTold).length,
        "false",
        wrong.length,
        wrong.slice(0, 5).map((t) => [t.strikes, falseStatements(t).join("|")]),
      );
    }
    expect(1).toBe(1);
  });
});
