import type { Profile } from "./profile.ts";

/** The table that `readProfile` reads, a thousandth of a millimetre fine. */
export function profileCsv({ outer, inner }: Profile): string {
  const lines = (["outer", "inner"] as const).flatMap((wall) => {
    const { rM, zM } = wall === "outer" ? outer : inner;
    return Array.from(rM, (r, i) => `${wall},${(1000 * r).toFixed(3)},${(1000 * zM[i]!).toFixed(3)}`);
  });
  return `${["wall,r_mm,z_mm", ...lines].join("\n")}\n`;
}
