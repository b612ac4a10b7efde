import { describe, expect, it } from "vitest";
import { sharesOf } from "./shares-table.ts";

const BUNDLE = [
  "// node_modules/fft.js/lib/fft.js",
  "a",
  "// src/partials/start.ts",
  "b",
  "// src/tap/curves.ts",
  "c",
];
const frame = (functionName: string, lineNumber: number, url = "file:///bundle.mjs") => ({
  functionName,
  url,
  lineNumber,
});

describe("sharesOf", () => {
  it("sharesOf gives self times by folder, those of partials by file too, and leaves idling out", () => {
    const profile = {
      nodes: [
        { id: 1, callFrame: frame("(idle)", -1, "") },
        { id: 2, callFrame: frame("(garbage collector)", -1, "") },
        { id: 3, callFrame: frame("transform", 1) },
        { id: 4, callFrame: frame("probe", 3) },
        { id: 5, callFrame: frame("curve", 5) },
        { id: 6, callFrame: frame("compile", 9, "node:internal/modules") },
      ],
      samples: [1, 2, 3, 4, 4, 5, 6],
      timeDeltas: [50_000, 1000, 2000, 1500, 1500, 3000, 1000],
    };
    const rows = sharesOf(profile, () => BUNDLE.join("\n"))
      .split("\n")
      .slice(2)
      .map((row) => row.split("|").map((cell) => cell.trim()));
    const shares = new Map(rows.map(([, source, ms, share]) => [source, [ms, share]]));
    // Ten milliseconds in all without the idling.
    expect(shares.get("fft.js")).toEqual(["2", "20.0"]);
    expect(shares.get("partials")).toEqual(["3", "30.0"]);
    expect(shares.get("partials/start.ts")).toEqual(["3", "30.0"]);
    expect(shares.get("tap")).toEqual(["3", "30.0"]);
    expect(shares.get("garbage collection")).toEqual(["1", "10.0"]);
    expect(shares.get("node itself")).toEqual(["1", "10.0"]);
    expect(shares.has("idle")).toBe(false);
  });

  it("sharesOf leaves out what takes less than a hundredth", () => {
    const profile = {
      nodes: [
        { id: 1, callFrame: frame("probe", 3) },
        { id: 2, callFrame: frame("curve", 5) },
      ],
      samples: [1, 2],
      timeDeltas: [100_000, 900],
    };
    expect(sharesOf(profile, () => BUNDLE.join("\n"))).not.toContain("tap");
  });
});
