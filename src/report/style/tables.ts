/** Tables, the strips of the picture at the top, and the buttons in row heads. */
export const tables = `
.scroll {
  overflow-x: auto; margin: 0 0 1.2rem;
  background: linear-gradient(to left, var(--ground) 40%, transparent) 100% 0 / 2.4rem 100% no-repeat local, linear-gradient(to left, var(--edge), transparent) 100% 0 / .8rem 100% no-repeat;
}
table { border-collapse: collapse; width: 100%; font-size: .9rem; font-variant-numeric: tabular-nums; }
caption { text-align: left; color: var(--soft); padding: 0 0 .5rem; max-width: min(46rem, 100vw - 4rem); }
.scroll tbody th { position: sticky; left: 0; background: var(--ground); }
th, td { padding: .35rem .9rem .35rem 0; text-align: left; vertical-align: baseline; border-bottom: 1px solid var(--line); }
thead th { font-weight: 600; font-size: .85rem; color: var(--soft); border-bottom: 2px solid var(--edge); vertical-align: bottom; }
tbody th { font-weight: 600; }
.number { text-align: right; white-space: nowrap; }
thead .number, .finding .number { white-space: normal; }
.number + :not(.number) { padding-left: .6rem; }
.scroll tr.is-chosen > * { background: var(--copper-wash); box-shadow: inset 0 2px 0 var(--copper), inset 0 -2px 0 var(--copper); }
button {
  font: inherit; color: var(--ink); background: var(--sheet); border: 1px solid var(--edge); border-radius: 3px;
  padding: .3rem .8rem; min-height: 2rem; cursor: pointer;
}
button:hover { background: var(--patina-wash); }
.chooser {
  display: inline-flex; align-items: baseline; padding: .05rem .5rem .05rem .35rem; min-height: 1.6rem; font-weight: 600; text-align: left;
  width: max-content; max-width: min(16rem, 60vw); overflow-wrap: anywhere;
}

.chooser::before { content: ""; flex: none; border: .32em solid transparent; border-left: .5em solid var(--patina); border-right: 0; margin-right: .4em; }
.chooser[aria-pressed="true"] { background: var(--copper); color: var(--paper); border-color: var(--copper); }
.chooser[aria-pressed="true"]::before { border: 0; width: .6em; height: .6em; background: currentColor; margin-right: .3em; }
.glance td { vertical-align: middle; }
.glance tbody th { width: 1%; white-space: nowrap; vertical-align: middle; }
.strip-cell { display: grid; grid-template-columns: 1fr 8.5rem; gap: .2rem 1rem; align-items: center; }
.glance td:last-child, .glance th:last-child { padding-right: 0; }
.strip-text { font-size: .88rem; white-space: nowrap; }
.strip-text span { white-space: nowrap; }
.strip { display: block; width: 100%; height: 1.6rem; }
@media screen and (max-width: 62rem) {
  .number { white-space: normal; }
  th, td { padding-right: .6rem; }
}
@media screen and (max-width: 50rem) {
  .strip-cell { grid-template-columns: minmax(0, 1fr); }
  .glance table { table-layout: fixed; }
  .glance thead th:first-child { width: 34%; }
  .glance tbody th { white-space: normal; }
  .glance .chooser { max-width: 100%; font-size: .82rem; padding-right: .3rem; }
  .glance th, .glance td { padding-right: .5rem; }
  .chooser { max-width: min(9rem, 38vw); }
  .scroll tbody th { min-width: 5rem; }
  .scroll td:not(.number) { min-width: 7rem; }
  .scroll td:not(.number):last-child { min-width: 13rem; }
  .glance td:not(.number), .glance td:not(.number):last-child, .glance tbody th { min-width: 0; }
  .series-glance td:not(.number):last-child { min-width: 5.6rem; }
  .strip-text { font-size: .82rem; }
}
@media screen and (max-width: 24rem) {
  .glance .chooser::before { content: none; }
  .glance .chooser { padding-left: .3rem; font-size: .78rem; }
  .strip-text { white-space: normal; }
}
.strip-ideal { stroke: var(--edge); stroke-width: 1.5; }
.strip-from { stroke: var(--patina); stroke-width: 4; }
.strip-ci { stroke: var(--ink); stroke-width: 1.5; }
.strip-ring { fill: var(--patina); }
.volume { display: flex; flex-wrap: wrap; align-items: center; gap: .6rem; }
.volume input { accent-color: var(--patina); min-height: 1.6rem; width: min(16rem, 50vw); }
audio { width: min(100%, 30rem); }
.player {
  position: fixed; inset: auto 0 0; z-index: 2; display: flex; justify-content: center; align-items: center; gap: 1rem;
  padding: .6rem 1rem; background: var(--sheet); border-top: 2px solid var(--copper);
}
.player[hidden] { display: none; }
.player p { margin: 0; }
`;
