/** Said by the page, the check and the record alike. */
export const CAUTION =
  'Figures are advisory. The job programme, the certified ratings of the tools, local regulations and licensed persons decide.';
