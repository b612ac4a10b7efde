import { expect, test } from "vitest";
import { channelStatistics, samplesOf } from "../../src/audio/index.ts";

const statisticsOf = (...channels: Float32Array[]) => channelStatistics(samplesOf(channels));

test("channelStatistics of no channel and of no sample has no mean", () => {
  expect(statisticsOf()).toEqual([]);
  expect(statisticsOf(new Float32Array(0))[0].mean).toBeNull();
});

test("channelStatistics of a constant has no step", () => {
  expect(statisticsOf(new Float32Array(10).fill(0.25))).toEqual([
    { mean: 0.25, highest: 0.25, lowest: 0.25, step: Number.POSITIVE_INFINITY },
  ]);
});

test("channelStatistics gives each channel's mean, extremes and smallest step", () => {
  expect(statisticsOf(Float32Array.of(1, 2, 6), Float32Array.of(0, -0.5, 1))).toEqual([
    { mean: 3, highest: 6, lowest: 1, step: 1 },
    { mean: 0.5 / 3, highest: 1, lowest: -0.5, step: 0.5 },
  ]);
});

test("channelStatistics does not lose small values in a long sum", () => {
  // 0.1 as float32, a million times: a sum in float32 would be off by a part in a thousand
  expect(statisticsOf(new Float32Array(1e6).fill(0.1))[0].mean).toBeCloseTo(Math.fround(0.1), 12);
});

test("channelStatistics sees a step between two of the blocks in which it reads", () => {
  const x = new Float32Array(70000).fill(0.5, 65536);
  x[69999] = 2;
  expect(statisticsOf(x)[0]).toMatchObject({ step: 0.5, highest: 2 });
});
