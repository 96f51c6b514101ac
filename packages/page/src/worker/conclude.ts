import type { Survey } from '@twolamp/cells';
import { measureSurvey } from '@twolamp/measure';
import { nextPairDistance } from '@twolamp/plan';
import { liveFigures, localDay } from '@twolamp/report';
import { doubts, headlines } from '@twolamp/words';
import type { Evidence, Result, Session } from '@twolamp/session';
import type { Conclusion } from './measured.js';

/** What the conclude worker does for the page. */
export const concludeApi = {
  /**
   * All figures, from the light of the cells.
   *
   * @param firstPairM - where the first pair should stand
   */
  async conclude(session: Session, survey: Survey, firstPairM: number): Promise<Conclusion> {
    const { result, evidence } = measureSurvey(session, survey);
    return {
      result,
      evidence,
      figures: liveFigures(result, evidence),
      headlines: headlines(result),
      doubts: doubts(result),
      next: nextPairDistance(result.pairs, session.criterion.requiredDip, firstPairM),
    };
  },

  /** The files that the command line writes to `measured/` beside session.yaml, but for the PDFs. */
  async files(result: Result, evidence: Evidence): Promise<Record<string, string>> {
    const { measuredFiles } = await import('./measured-files.js'); // the report carries its own plot library
    return measuredFiles(result, evidence, { files: ['result.json'], writtenOn: localDay(new Date()) });
  },
};

export type ConcludeApi = typeof concludeApi;
