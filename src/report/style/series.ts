/** The set at a glance: strips narrow enough for many partials side by side, the number below each. */
export const series = `
.series-glance td { min-width: 5.6rem; vertical-align: middle; }
.series-glance td:nth-child(2) { min-width: 0; }
.series-glance tbody th, .series-glance .strip-text { white-space: nowrap; }
.series-glance .strip { height: 1.1rem; }
.series-glance .strip-text { display: block; text-align: center; }
.cautions { font-size: .92rem; }
`;
