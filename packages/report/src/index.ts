export { cellsCsv, comparisonCsv, pairsCsv } from './csv.js';
export { reportPage } from './page/report-page.js';
export type { Drawing } from './print/drawing.js';
export { drawingPdf } from './print/pdf.js';
export { pullMap } from './print/pull-map.js';
export { type Face, printableSheet, type SheetMark, type SheetRequest } from './print/sheet.js';
export { drawingSvg } from './print/svg.js';
export { CAUTIONS } from './words/cautions.js';
export { headlines } from './words/headlines.js';
