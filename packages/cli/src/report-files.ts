import { cellsCsv, drawingPdf, drawingSvg, pairsCsv, pullMap, reportPage } from '@twolamp/report';
import type { Evidence, Result } from '@twolamp/session';
import type { Files } from './files/output-folder.js';

/** Everything that is drawn or listed from a result, by file name. */
export async function reportFiles(result: Result, evidence: Evidence | null): Promise<Files> {
  const back = pullMap(result, 'back');
  const front = pullMap(result, 'front');
  return {
    'report.html': reportPage(result, evidence),
    'cells.csv': cellsCsv(result),
    'pairs.csv': pairsCsv(result),
    'pull-map-back.svg': drawingSvg(back),
    'pull-map-back.pdf': await drawingPdf(back),
    'pull-map-front.svg': drawingSvg(front),
    'pull-map-front.pdf': await drawingPdf(front),
  };
}
