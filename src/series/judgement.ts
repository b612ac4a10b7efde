import data from "./data/judgement.json" with { type: "json" };

const { value: repeatabilityCents } = data.repeatabilityCents;

/** What the analysis takes as given; each number stands in data/judgement.json with where it comes from. */
export const JUDGEMENT = {
  repeatabilityCents,
  leastCuts: data.leastCuts.value,
  similarWithinCents: data.similarWithinCents.value,
  chanceOfOvershoot: data.chanceOfOvershoot.value,
  oddScore: data.oddScore.value,
  leastForOdd: data.leastForOdd.value,
  oddCents: data.oddCents.value,
  oddDecayRatio: data.oddDecayRatio.value,
};
