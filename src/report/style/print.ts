/** On paper, A4 or Letter: nothing that is pressed or played, everything that is folded away, no chart cut in two. */
export const print = `
@page { margin: 15mm 14mm; }
@media print {
  body { max-width: none; padding: 0; font-size: 9pt; line-height: 1.35; background: none; }
  .contents, .player, .skip, #listen, .foot { display: none; }
  h1 { font-size: 20pt; } h2 { font-size: 13pt; } h3 { font-size: 10.5pt; }
  .lead { font-size: 11pt; line-height: 1.35; margin-bottom: 2mm; } .masthead .facts strong { font-size: 12pt; }
  section { margin-top: 4mm; padding-top: 3mm; }
  .scroll, figure { margin-bottom: 3mm; } caption { padding-bottom: 1mm; max-width: none; } p, ol, ul { margin-bottom: 2mm; max-width: 160mm; }
  h2, h3, dt, caption, .legend, summary { break-after: avoid; }
  h2 + p { break-after: avoid; }
  p, li { orphans: 3; widows: 3; }
  figure, .finding, .facts, .scroll, tr, li { break-inside: avoid; }
  .finding:has(table) { break-inside: auto; } .finding h3, .finding p { break-after: avoid; break-inside: avoid; }
  section[id^="bell-"] { break-before: page; }
  .asks { margin: 0 0 2mm; }
  thead { display: table-header-group; }
  .scroll { overflow: visible; background: none; } .number { white-space: normal; } .scroll tbody th { position: static; }
  .findings { display: block; } .finding { margin-bottom: 2mm; padding: 1.5mm 3mm; }
  .all-well .more > summary { break-inside: avoid; font-size: 9pt; }
  .all-well .findings { columns: 2; column-gap: 7mm; }
  .all-well .finding { border-width: 0 0 0 2px; padding: 0 0 0 2mm; background: none; font-size: 8pt; line-height: 1.25; }
  .all-well .finding:has(table) { column-span: all; }
  .all-well .finding h3 { font-size: 8.5pt; } .all-well .finding .outcome, .all-well .evidence { font-size: 7pt; }
  table { font-size: 7pt; } th, td { padding: .6mm 1.2mm .6mm 0; }
  .number + :not(.number) { padding-left: 1mm; }
  thead th { font-size: 7pt; } .strip-text, figcaption, .legend, .evidence, .outcome, .facts dt { font-size: 8pt; }
  .facts { gap: 2mm 6mm; margin: 3mm 0; } .facts div { min-width: 0; }
  .strip { height: 4mm; } .strip-cell { grid-template-columns: 1fr 26mm; } .glance table { table-layout: auto; }
  .chooser { white-space: normal; width: auto; max-width: none; } .glance .chooser, .glance tbody th { white-space: nowrap; }
  .more::details-content { content-visibility: visible; block-size: auto; }
  .more > summary { list-style: none; font-weight: 600; }
  .chooser, .chooser[aria-pressed="true"] { border: 0; padding: 0; min-height: 0; background: none; color: inherit; font-size: inherit; }
  .chooser::before, .chooser[aria-pressed="true"]::before { content: none; }
  tr.is-chosen > *, .chart.small.is-chosen { background: none; box-shadow: none; border-color: transparent; }
  .figures { grid-template-columns: 1fr 1fr; gap: 2mm 6mm; }
  .plot { height: auto !important; }
  .plot canvas { width: 100% !important; height: auto !important; }
  * { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
}
`;
