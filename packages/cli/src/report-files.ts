import {
  benchPage,
  cellsCsv,
  drawingPdf,
  drawingSvg,
  type PageSource,
  pairsCsv,
  pullMap,
  reportPage,
} from '@twolamp/report';
import type { Evidence, Result } from '@twolamp/session';

/** Names of what {@link reportFiles} gives. */
export const REPORT_NAMES = [
  'report.html',
  'cells.csv',
  'pairs.csv',
  'bench-page.pdf',
  'pull-map-back.svg',
  'pull-map-back.pdf',
  'pull-map-front.svg',
  'pull-map-front.pdf',
] as const;

/** Everything that is drawn or listed from a result, by file name. */
export async function reportFiles(
  result: Result,
  evidence: Evidence | null,
  source: PageSource,
): Promise<Record<(typeof REPORT_NAMES)[number], string | Uint8Array>> {
  const back = pullMap(result, 'back');
  const front = pullMap(result, 'front');
  return {
    'report.html': reportPage(result, evidence, source),
    'cells.csv': cellsCsv(result),
    'pairs.csv': pairsCsv(result),
    'bench-page.pdf': await drawingPdf(benchPage(result, source)),
    'pull-map-back.svg': drawingSvg(back),
    'pull-map-back.pdf': await drawingPdf(back),
    'pull-map-front.svg': drawingSvg(front),
    'pull-map-front.pdf': await drawingPdf(front),
  };
}
