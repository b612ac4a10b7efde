/** Charts, their legends, and what is shown with and without scripts. */
export const charts = `
.needs-script { display: none; }
.scripted .needs-script { display: block; }
.scripted .without-script { display: none; }
figure { margin: 0 0 1.4rem; }
figcaption { color: var(--soft); margin-bottom: .4rem; max-width: 46rem; }
figcaption strong { color: var(--ink); }
.plot { position: relative; width: 100%; }
.figures { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(100%, 18rem), 1fr)); gap: 1.2rem 1.6rem; }
.chart.small { margin: 0; padding: .4rem; border: 2px solid transparent; border-radius: 3px; min-width: 0; display: flex; flex-direction: column; justify-content: space-between; }
.chart.small.is-chosen { border-color: var(--chosen); background: var(--sheet); }
.small figcaption { font-size: .9rem; }
.legend { list-style: none; display: flex; flex-wrap: wrap; gap: .2rem 1.4rem; padding: 0; font-size: .9rem; max-width: none; }
.legend li { display: flex; align-items: center; gap: .5rem; }
.sample { width: 2.2rem; height: 1rem; flex: none; fill: none; stroke-width: 2; }
.line-measured { stroke: var(--measured); stroke-width: 1.5; }
.line-model { stroke: var(--model); stroke-width: 2.5; stroke-dasharray: 8 4; }
.line-together { stroke: var(--model); stroke-width: 2.5; }
.line-noise { stroke: var(--noise); stroke-dasharray: 2 3; }
.line-member { stroke: var(--member); stroke-width: 1.5; stroke-dasharray: 10 3 2 3; }
.line-other-member { stroke: var(--other-member); stroke-width: 1.5; stroke-dasharray: 4 4; }
.line-first { stroke: var(--model); stroke-width: 2; }
.line-second { stroke: var(--other-member); stroke-width: 2; stroke-dasharray: 6 3; }
.point-first { fill: var(--patina); stroke: var(--paper); stroke-width: 1; }
.point-second { fill: var(--paper); stroke: var(--other-member); stroke-width: 2; }
.point-partial { fill: var(--patina); stroke: var(--paper); stroke-width: 1; }
.point-combination { fill: none; stroke: var(--ink); stroke-width: 2; }
.point-interference { fill: none; stroke: var(--noise); stroke-width: 2; }
`;
