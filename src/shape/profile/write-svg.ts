import type { Profile } from "./profile.ts";
import { sectionMm } from "./section.ts";

/** Room around the drawing, mm. */
const MARGIN_MM = 10;

/** The half section in true size, one user unit a millimetre, the axis on the left: a lathe template to print or cut. */
export function profileSvg(profile: Profile): string {
  const points = sectionMm(profile);
  const [low, high] = [Math.min(...points.map(([, z]) => z)), Math.max(...points.map(([, z]) => z))];
  const wide = Math.max(...points.map(([r]) => r)) + 2 * MARGIN_MM;
  const tall = high - low + 2 * MARGIN_MM;
  const at = ([r, z]: [number, number]) =>
    `${(r + MARGIN_MM).toFixed(3)} ${(high - z + MARGIN_MM).toFixed(3)}`;
  const path = `M ${points.map(at).join(" L ")} Z`;
  const size = `width="${wide.toFixed(3)}mm" height="${tall.toFixed(3)}mm"`;
  return `<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" ${size} viewBox="0 0 ${wide.toFixed(3)} ${tall.toFixed(3)}">
<path d="${path}" fill="none" stroke="black" stroke-width="0.2"/>
<path d="M ${MARGIN_MM} 0 V ${tall.toFixed(3)}" fill="none" stroke="black" stroke-width="0.1" stroke-dasharray="8 2 2 2"/>
</svg>
`;
}
