/**
 * Colours by what they are for. Light is paper and ink, dark is its reverse; both hold 4.5:1 for text and 3:1 for lines.
 * Print always takes the light ones; `printing` lets the client draw its charts in them just before.
 */
export const tokens = `
:root {
  color-scheme: light dark;
  --ground: var(--paper);
  --paper: #faf8f2; --sheet: #fffefb; --ink: #23261f; --soft: #575a50; --line: #d8d3c4; --edge: #8b8776;
  --patina: #1d6656; --patina-wash: #e3efe9; --copper: #94450f; --copper-wash: #f8e9dc;
  --measured: #6f7480; --model: #1d6656; --noise: #7d6f58; --member: #3e63a8; --other-member: #94450f;
  --chosen: #94450f; --grid: #e6e2d6;
}
@media screen and (prefers-color-scheme: dark) {
  :root:not(.printing) {
    --paper: #15191a; --sheet: #1c2122; --ink: #e9e6dd; --soft: #b3b5aa; --line: #394041; --edge: #7c8684;
    --patina: #7ccdb8; --patina-wash: #203832; --copper: #f2a767; --copper-wash: #3d2b1c;
    --measured: #98a1ad; --model: #7ccdb8; --noise: #b5a37f; --member: #9db8f0; --other-member: #f2a767;
    --chosen: #f2a767; --grid: #2b3132;
  }
}
:root.printing { color-scheme: light; }
@media print { :root { color-scheme: light; --paper: #fff; --sheet: #fff; } }
`;
