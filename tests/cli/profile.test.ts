import { describe, expect, it } from "vitest";
import { profileIds } from "../../src/bell/index.ts";
import { tap } from "../../src/cli/commands/tap.ts";
import { fakeEngine, folderWith, ringwright } from "./harness.ts";

describe("tap --profile", () => {
  const withProfile = async (profile: string, files: Record<string, string> = {}) => {
    const engine = fakeEngine();
    const outcome = await ringwright(["tap", "-", "--profile", profile], {
      cwd: folderWith(files),
      stdin: "sound",
      engine,
    });
    return { ...outcome, asked: (engine.calls[0]?.options as { profile: string } | undefined)?.profile };
  };
  const OWN = {
    schema: "ringwright.profile/1",
    id: "my-bowl",
    title: "My bowl",
    reference: ["low"],
    partials: [
      { name: "low", ratio: 1, source: "measured here" },
      { name: "high", ratio: 2.7, source: "measured here" },
    ],
  };

  it("tap --profile takes every built-in id, and its help names each", async () => {
    const help = tap.options.find(({ name }) => name === "profile")!.description;
    for (const id of profileIds()) {
      expect(await withProfile(id)).toMatchObject({ status: 0, asked: id });
      expect(help).toContain(id);
    }
  });

  it("tap --profile suggests the nearest of an unknown id", async () => {
    const { status, stderr } = await withProfile("minor-thrid");
    expect(status).toBe(2);
    expect(stderr).toMatch(/^ringwright: --profile knows minor-third, [^\n]*; did you mean minor-third\?\n$/);
  });

  it("tap --profile takes a JSON file of the user's own", async () => {
    expect(await withProfile("own.json", { "own.json": JSON.stringify(OWN) })).toMatchObject({
      status: 0,
      stderr: "",
      asked: "my-bowl",
    });
  });

  it("tap --profile names the file and what is wrong in it", async () => {
    const missing = await withProfile("gone.json");
    expect(missing).toMatchObject({ status: 2 });
    expect(missing.stderr).toMatch(/^ringwright: gone\.json: there is no such file[^\n]*\n$/);
    const cutOff = await withProfile("own.json", { "own.json": JSON.stringify(OWN).slice(0, 50) });
    expect(cutOff).toMatchObject({ status: 2 });
    expect(cutOff.stderr).toMatch(/^ringwright: --profile own\.json: this is not JSON \([^\n]*\n$/);
    const wrong = await withProfile("own.json", { "own.json": JSON.stringify({ ...OWN, partials: 3 }) });
    expect(wrong).toMatchObject({ status: 2 });
    expect(wrong.stderr).toMatch(/^ringwright: --profile own\.json: profile: [^\n]*\n$/);
  });
});
