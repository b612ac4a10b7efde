import { describe, expect, it } from "vitest";
import { ringwrightArguments, shellLines } from "./shell.ts";

describe("shellLines", () => {
  it("shellLines('') and a comment alone give no command", () => {
    expect(shellLines("")).toEqual([]);
    expect(shellLines("# nothing here\n\n")).toEqual([]);
  });

  it("shellLines refuses a quote that is not closed", () => {
    expect(() => shellLines("ringwright tap 'bell")).toThrow("cannot read the command line");
  });

  it("shellLines takes off quotes, comments and redirections, and joins and splits commands", () => {
    const [line, next, last] = shellLines(
      "ringwright tap - 'a b-*.wav' --pin nominal=1 \\\n  < in.wav | jq .x # C#6\nnpm ci && npx ringwright plan scale b.json --note F#5 > out.txt",
    );
    expect(line).toMatchObject({ words: ["ringwright", "tap", "-", "a b-*.wav", "--pin", "nominal=1"] });
    expect(line).toMatchObject({ stdin: "in.wav", piped: true });
    expect(next!.words).toEqual(["jq", ".x"]);
    expect(last!.words).toEqual(["npm", "ci"]);
  });

  it("ringwrightArguments(line) are those of ringwright and npx ringwright, and null of anything else", () => {
    const [npm, plan] = shellLines("npm ci && npx ringwright plan scale b.json --note F#5 > out.txt");
    expect(ringwrightArguments(npm!)).toBeNull();
    expect(ringwrightArguments(plan!)).toEqual(["plan", "scale", "b.json", "--note", "F#5"]);
    expect(plan!.stdout).toBe("out.txt");
  });
});
