/** The sheet of a plan: closely set, so that it prints on one page of A4 or Letter. */
export const plan = `
.plan-sheet .lead { font-size: 1.1rem; margin-bottom: .4rem; }
.plan-sheet .sources { font-size: .88rem; }
@media print {
  .masthead:has(+ main > .plan-sheet) .kind { display: none; }
  .masthead:has(+ main > .plan-sheet) h1 { font-size: 15pt; margin-bottom: 1.5mm; }
  .plan-sheet .lead { font-size: 10pt; line-height: 1.35; max-width: none; margin: 0 0 1mm; }
  .plan-sheet section { margin-top: 2mm; padding-top: 2mm; }
  .plan-sheet #figures h2 { display: none; }
  .plan-sheet h2 { font-size: 11pt; margin-bottom: 1.5mm; }
  .plan-sheet .scroll { margin-bottom: 2.5mm; }
  .plan-sheet th, .plan-sheet td { padding-block: .35mm; }
  .plan-sheet caption { max-width: none; padding-bottom: 1mm; }
  .plan-sheet section > ul { columns: 2; column-gap: 7mm; max-width: none; margin: 0 0 1mm; padding-left: 4mm; font-size: 8.5pt; line-height: 1.3; }
  .plan-sheet section > ul.sources { font-size: 7pt; color: var(--soft); }
}
`;
