/** The page as a text: measure, headings, lists, the masthead. */
export const text = `
* { box-sizing: border-box; }
html { scroll-padding-block: 1rem 5rem; -webkit-text-size-adjust: 100%; }
body {
  margin: 0 auto; padding: 1.5rem clamp(1rem, 4vw, 2.5rem) 5rem; max-width: 74rem;
  background: var(--paper); color: var(--ink);
  font: 1rem/1.55 system-ui, -apple-system, "Segoe UI", Roboto, "Noto Sans", sans-serif;
  overflow-wrap: break-word;
}
h1, h2, h3 { font-family: Charter, "Bitstream Charter", "Iowan Old Style", Palatino, "Palatino Linotype", Georgia, serif; line-height: 1.2; text-wrap: balance; }
h1 { overflow-wrap: anywhere; font-size: clamp(1.8rem, 5vw, 2.7rem); margin: 0 0 .6rem; font-weight: 600; }
h2 { font-size: 1.5rem; margin: 0 0 .8rem; font-weight: 600; }
h3 { font-size: 1.1rem; margin: 1.6rem 0 .5rem; }
p, ol, ul { max-width: 46rem; margin: 0 0 .8rem; }
a { color: var(--patina); text-underline-offset: .15em; }
:focus-visible { outline: 3px solid var(--copper); outline-offset: 2px; border-radius: 2px; }
sub, sup { line-height: 0; }
section { margin-top: 2.6rem; padding-top: 1.6rem; border-top: 1px solid var(--line); }
.skip { position: absolute; left: -999rem; }
.skip:focus { left: 1rem; top: .5rem; background: var(--sheet); padding: .4rem .8rem; z-index: 3; }
.only-read { position: absolute; width: 1px; height: 1px; margin: 0; overflow: hidden; clip-path: inset(50%); }
.kind { color: var(--soft); margin: 0 0 .3rem; font-size: .95rem; letter-spacing: .02em; }
.lead { font-size: 1.25rem; line-height: 1.5; max-width: 46rem; text-wrap: pretty; }
.result a { color: inherit; text-decoration: underline 1px var(--patina); }
.asks { margin: 0 0 1rem; display: flex; flex-wrap: wrap; gap: .1rem .6rem; border-left: 10px double var(--copper); padding: .15rem 0 .15rem .7rem; }
.asks p { margin: 0; padding: .15rem 0; font-weight: 600; color: var(--copper); }
.asks ul { list-style: none; display: flex; flex-wrap: wrap; gap: .1rem 1.1rem; margin: 0; padding: 0; max-width: none; }
.asks a { display: inline-block; padding: .15rem 0; }
.option { white-space: nowrap; }
.none { color: var(--soft); }
.remark { color: var(--soft); border-left: 3px solid var(--line); padding-left: .8rem; }
.foot { margin-top: 3rem; padding-top: 1rem; border-top: 1px solid var(--line); color: var(--soft); font-size: .9rem; }
.contents ul { list-style: none; display: flex; flex-wrap: wrap; gap: .2rem 1.1rem; padding: 0; margin: 1.6rem 0 -1rem; max-width: none; }
.contents a { display: inline-block; padding: .25rem 0; }
.facts { display: flex; flex-wrap: wrap; gap: .8rem 2.2rem; margin: 1.2rem 0; }
.facts div { min-width: 7rem; }
.facts dt { color: var(--soft); font-size: .85rem; }
.facts dd { margin: 0; font-variant-numeric: tabular-nums; }
.masthead .facts strong { font-size: 1.3rem; font-weight: 600; }
.words dt { font-weight: 600; }
.words dd { margin: 0 0 .5rem 1rem; max-width: 46rem; }
.findings { list-style: none; padding: 0; max-width: none; display: grid; gap: .9rem; grid-template-columns: repeat(auto-fit, minmax(min(100%, 26rem), 1fr)); }
.finding { background: var(--sheet); border: 1px solid var(--line); border-left: 4px solid var(--edge); padding: .8rem 1rem; border-radius: 3px; }
.finding { --ground: var(--sheet); } .finding.attention { --ground: var(--copper-wash); grid-column: 1 / -1; border-left: 10px double var(--copper); background: var(--copper-wash); }
.finding:has(.more[open] table) { grid-column: 1 / -1; }
.finding.good { border-left-color: var(--patina); }
.finding.not-measurable { border-left-style: dashed; }
.finding h3 { margin: 0 0 .25rem; font-size: 1.05rem; text-wrap: wrap; overflow-wrap: anywhere; }
.finding p { margin: 0; max-width: 60rem; }
.finding .scroll, .finding .more { margin-bottom: 0; }
.finding { min-width: 0; }
.outcome { font: 600 .8rem system-ui, sans-serif; border: 1px solid currentColor; border-radius: 2px; padding: .05rem .4rem; margin-right: .3rem; }
.attention .outcome, .attention .sign { color: var(--copper); }
.good .outcome, .good .sign { color: var(--patina); }
.note .outcome, .not-measurable .outcome { color: var(--soft); }
.sign { width: .95rem; height: .95rem; margin-right: .4rem; vertical-align: -.1rem; fill: none; stroke: currentColor; stroke-width: 2; }
.evidence { margin: .4rem 0 0; padding-left: 1.2rem; color: var(--soft); font-size: .92rem; font-variant-numeric: tabular-nums; }
.more > .evidence { list-style: none; padding: 0; max-width: none; }
.more { margin: .8rem 0; }
.more > summary { cursor: pointer; color: var(--patina); padding: .2rem 0; }
`;
