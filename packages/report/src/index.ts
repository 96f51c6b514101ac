export { cellsCsv, comparisonCsv, pairsCsv } from './csv.js';
export { reportPage } from './page/report-page.js';
