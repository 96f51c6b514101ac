import { placeWords, plusMinus, ratioPlusMinus, significant } from '@twolamp/words';
import type { ComparisonData } from '../page/page-data.js';
import { byNumber, type TubeNumber } from './data.js';
import { element } from './element.js';
import { capital, figureList, type Story, storyHead } from './story.js';

/** One tube of a comparison: what changed, and whether more than chance would change it. */
export function comparisonStories(data: ComparisonData): (tube: TubeNumber) => Story | null {
  const find = byNumber(data.tubes);
  return (tube) => {
    const change = find(tube);
    if (!change) return null;
    const { transmission, pointing, verdict, faultEarlier, faultLater } = change;
    const figures: [string, string][] = [
      ['Fault earlier', faultEarlier],
      ['Fault later', faultLater],
    ];
    if (transmission) {
      figures.push(
        ['Transmission earlier', significant(transmission.earlier, 3)],
        ['Transmission later', significant(transmission.later, 3)],
        ['Change', ratioPlusMinus(transmission.change, transmission.uncertainty)],
      );
    }
    if (pointing) {
      figures.push(
        ['Pointing moved across', plusMinus(pointing.acrossDeg, pointing.uncertaintyDeg, '°')],
        ['Pointing moved up', plusMinus(pointing.upDeg, pointing.uncertaintyDeg, '°')],
      );
    }
    return {
      content: [
        ...storyHead(change, data.array),
        element('p', {}, element('strong', {}, `${capital(verdict)}.`)),
        figureList(figures),
      ],
    };
  };
}

/** What a map says beside the pointer: the tube's place, the verdict and the change of its light. */
export function comparisonLabels(data: ComparisonData): (tube: TubeNumber) => string | null {
  const find = byNumber(data.tubes);
  return (tube) => {
    const change = find(tube);
    if (!change) return null;
    const { transmission } = change;
    return [
      placeWords(change),
      change.verdict,
      ...(transmission
        ? [`change of light ${ratioPlusMinus(transmission.change, transmission.uncertainty)}`]
        : []),
    ].join(' · ');
  };
}
