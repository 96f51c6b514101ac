import {
  benchPage,
  cellsCsv,
  drawingSvg,
  type PageSource,
  pairsCsv,
  pullMap,
  reportPage,
} from '@twolamp/report';
import type { Evidence, Result } from '@twolamp/session';

/** The files that the command line writes to `measured/`, but for the PDFs, by name. */
export function measuredFiles(
  result: Result,
  evidence: Evidence,
  source: PageSource,
): Record<string, string> {
  return {
    'result.json': `${JSON.stringify(result, null, 2)}\n`,
    'evidence.json': `${JSON.stringify(evidence)}\n`,
    'report.html': reportPage(result, evidence, source),
    'cells.csv': cellsCsv(result),
    'pairs.csv': pairsCsv(result),
    'bench-page.svg': drawingSvg(benchPage(result, source)),
    'pull-map-back.svg': drawingSvg(pullMap(result, 'back')),
    'pull-map-front.svg': drawingSvg(pullMap(result, 'front')),
  };
}
