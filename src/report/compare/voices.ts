import { aWeightingDb } from "../../bell/index.ts";
import type { TapMeasurement } from "../../measurement/index.ts";
import type { TurnsSpec, VoiceMember } from "../chart-spec.ts";
import { shorten } from "../numbers.ts";
import { membersOf } from "../tap/voices.ts";
import { markOfCasting, markOfPair, markOfTurns, type TwoView } from "./view.ts";

/** Most that the amplitudes of one turn may add up to, full scale = 1: they never all peak at once, and must not clip. */
const MOST_AMPLITUDE = 0.5;

/** A-weighted amplitude at the strike: the root of the summed powers, each weighted (IEC 61672-1). */
function weightedAmplitude(members: readonly VoiceMember[]): number {
  const power = members.reduce(
    (sum, [frequencyHz, , amplitude]) => sum + (amplitude * 10 ** (aWeightingDb(frequencyHz) / 20)) ** 2,
    0,
  );
  return Math.sqrt(power);
}

/**
 * Several sounds at one A-weighted level at the strike, as loud as none of them clips. The same list always comes out at
 * the same level, so sounds that are made together can be compared.
 */
export function atEqualLevel(sounds: readonly VoiceMember[][]): VoiceMember[][] {
  const scaled = sounds.map((members) => {
    const level = weightedAmplitude(members);
    return members.map(([f, rate, amplitude, phase]): VoiceMember => [f, rate, amplitude / level, phase]);
  });
  const peak = Math.max(
    0,
    ...scaled.map((members) => members.reduce((sum, [, , amplitude]) => sum + amplitude, 0)),
  );
  return scaled.map((members) =>
    members.map(
      ([f, rate, amplitude, phase]): VoiceMember => [
        f,
        rate,
        shorten((MOST_AMPLITUDE * amplitude) / peak),
        phase,
      ],
    ),
  );
}

const whole = ({ partials }: TapMeasurement): VoiceMember[] => partials.flatMap(membersOf);

/** What can be heard: each casting rebuilt, A then each other one, and every pair's partials one after the other. */
export function comparedVoices(views: readonly TwoView[]): TurnsSpec[] {
  const heard = [views[0].from, ...views.map(({ to }) => to)].map(whole);
  if (heard.some((members) => members.length === 0)) return [];
  const [reference, ...others] = atEqualLevel(heard);
  const { a } = views[0];
  return [
    { mark: markOfCasting(views[0].two.a), label: `${a.letter}, rebuilt`, turns: [reference] },
    ...views.flatMap((view, k): TurnsSpec[] => [
      { mark: markOfCasting(view.two.b), label: `${view.b.letter}, rebuilt`, turns: [others[k]] },
      {
        mark: markOfTurns(view),
        label: `${a.letter}, then ${view.b.letter}, at equal loudness`,
        turns: [reference, others[k]],
      },
      ...view.two.pairs.map((pair, i): TurnsSpec => {
        const alone = [view.from.partials[pair.a.partial], view.to.partials[pair.b.partial]].map(membersOf);
        return {
          mark: markOfPair(view, i),
          label: `${pair.name} of ${a.letter}, then of ${view.b.letter}`,
          turns: atEqualLevel(alone),
        };
      }),
    ]),
  ];
}
