import type { Preview } from '@twolamp/session';
import { duration, durationPlusMinus } from './duration.js';
import { sentencesAbout } from './findings/index.js';
import { plusMinus, significant, trimmed } from './quantity.js';
import type { Answer } from './sentence.js';

/** How much of the scene's detail the array leaves. */
export function detailAnswer(preview: Preview): Answer {
  const { similarity } = preview;
  if (similarity === null) {
    return {
      headline: 'How much of the scene’s detail is left can’t be said.',
      details: sentencesAbout(preview.findings, 'similarity'),
    };
  }
  const [now, then] = [similarity.asMeasured, similarity.repaired].map((value) => value.toFixed(2));
  return {
    headline:
      now === then
        ? `The array’s picture has a similarity of ${now} to a perfect array’s.`
        : `The array’s picture has a similarity of ${now} to a perfect array’s; with the pull list replaced, ${then}.`,
    details: [
      '1 means no difference, 0 nothing in common (structural similarity, which compares brightness, contrast and pattern patch by patch). A perfect array has the same geometry, and typical tubes only.',
    ],
  };
}

/** How long the array takes to paint the scene. */
export function exposureAnswer(preview: Preview): Answer {
  const details = sentencesAbout(preview.findings, 'exposure');
  if (preview.exposure === null) return { headline: 'How long to expose can’t be said.', details };
  const { fNumber, fNumberUncertainty, basis, known } = preview.exposure;
  const lens =
    basis === 'measured'
      ? `A tube lights its spot like a lens at f/${plusMinus(fNumber, fNumberUncertainty)}.`
      : `A tube should light its spot like a lens at about f/${significant(fNumber, 2)}.`;
  if (known === null) return { headline: lens, details };
  const time =
    basis === 'measured'
      ? durationPlusMinus(known.exposureS, known.exposureUncertaintyS)
      : `about ${duration(known.exposureS, 2)}`;
  return {
    headline: `Where a lens at f/${trimmed(known.lensFNumber)} took ${duration(known.lensExposureS)}, this array takes ${time}, and more on slow paper or film.`,
    details: [lens, `That is ${slowerOrFaster(known.stops)} than the lens.`, ...details],
  };
}

function slowerOrFaster(stops: number): string {
  return `${significant(Math.abs(stops), 2)} stops ${stops < 0 ? 'faster' : 'slower'}`;
}
