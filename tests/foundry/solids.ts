/**
 * Meshes of solids of revolution whose volume is known exactly: a closed profile in the half-plane (r, z) turned
 * about z in N steps. Every level is then a regular N-gon, so the volume is that of the smooth solid times
 * N sin(2 pi / N) / (2 pi), and the smooth one is pi times the integral of r^2 dz around the profile (Pappus).
 */

export type Profile = [r: number, z: number][];

/** Nine numbers a triangle, corners anticlockwise seen from outside; the profile runs anticlockwise in (r, z). */
export function revolve(profile: Profile, steps: number): number[] {
  const out: number[] = [];
  const at = ([r, z]: [number, number], step: number): [number, number, number] => {
    const angle = (2 * Math.PI * (step % steps)) / steps;
    return [r * Math.cos(angle), r * Math.sin(angle), z];
  };
  for (let i = 0; i < profile.length; i++) {
    const a = profile[i]!;
    const b = profile[(i + 1) % profile.length]!;
    for (let s = 0; s < steps; s++) {
      if (a[0] > 0) out.push(...at(a, s), ...at(a, s + 1), ...at(b, s));
      if (b[0] > 0) out.push(...at(b, s), ...at(a, s + 1), ...at(b, s + 1));
    }
  }
  return out;
}

/** Volume of the mesh that `revolve` makes. */
export function revolvedVolume(profile: Profile, steps: number): number {
  let integral = 0;
  for (let i = 0; i < profile.length; i++) {
    const [r1, z1] = profile[i]!;
    const [r2, z2] = profile[(i + 1) % profile.length]!;
    integral += ((r1 * r1 + r1 * r2 + r2 * r2) / 3) * (z2 - z1);
  }
  return integral * (steps / 2) * Math.sin((2 * Math.PI) / steps);
}

export function sphereProfile(radius: number, steps: number): Profile {
  return Array.from({ length: steps + 1 }, (_, i): [number, number] => {
    const angle = -Math.PI / 2 + (Math.PI * i) / steps;
    const r = i === 0 || i === steps ? 0 : radius * Math.cos(angle);
    return [r, radius * Math.sin(angle)];
  });
}

export function torusProfile(ring: number, tube: number, steps: number): Profile {
  return Array.from({ length: steps }, (_, i): [number, number] => {
    const angle = (2 * Math.PI * i) / steps;
    return [ring + tube * Math.cos(angle), tube * Math.sin(angle)];
  });
}

/** A bell of straight walls: outer and inner radius at the mouth (z = 0) and at the top. */
export function frustumProfile(mouth: [number, number], top: [number, number], height: number): Profile {
  return [
    [mouth[1], 0],
    [mouth[0], 0],
    [top[0], height],
    [top[1], height],
  ];
}

/** Corners of each triangle in the other order: the same solid inside out. */
export function turnedOver(triangles: number[]): number[] {
  const out = [...triangles];
  for (let i = 0; i < out.length; i += 9) {
    for (let k = 0; k < 3; k++) [out[i + 3 + k], out[i + 6 + k]] = [out[i + 6 + k]!, out[i + 3 + k]!];
  }
  return out;
}

export function binaryStl(triangles: number[], header = "exported"): Uint8Array {
  const bytes = new Uint8Array(84 + (triangles.length / 9) * 50);
  bytes.set(new TextEncoder().encode(header));
  const view = new DataView(bytes.buffer);
  view.setUint32(80, triangles.length / 9, true);
  for (let i = 0; i < triangles.length; i++) {
    view.setFloat32(84 + 50 * Math.floor(i / 9) + 12 + 4 * (i % 9), triangles[i]!, true);
  }
  return bytes;
}

export function asciiStl(triangles: number[]): Uint8Array {
  const lines = ["solid bell"];
  for (let i = 0; i < triangles.length; i += 9) {
    lines.push(" facet normal 0 0 0", "  outer loop");
    for (let k = i; k < i + 9; k += 3) lines.push(`   vertex ${triangles.slice(k, k + 3).join(" ")}`);
    lines.push("  endloop", " endfacet");
  }
  return new TextEncoder().encode(`${lines.join("\n")}\nendsolid bell\n`);
}
