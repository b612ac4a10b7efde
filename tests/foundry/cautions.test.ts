import { describe, expect, it } from "vitest";
import { MOLTEN_METAL_CAUTIONS } from "../../src/foundry/cautions.ts";

describe("MOLTEN_METAL_CAUTIONS", () => {
  it("MOLTEN_METAL_CAUTIONS begin with local codes and cover water, clothing, fume, scrap, people and lifting", () => {
    const ids = MOLTEN_METAL_CAUTIONS.map((caution) => caution.id);
    expect(ids[0]).toBe("law");
    for (const id of ["water", "clothing", "fume", "scrap", "people", "lifting"]) expect(ids).toContain(id);
  });

  it("MOLTEN_METAL_CAUTIONS each name a source, or say that there is none", () => {
    for (const { source } of MOLTEN_METAL_CAUTIONS) expect(source).toMatch(/NIOSH|no source/);
  });
});
