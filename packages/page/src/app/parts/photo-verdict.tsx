import { ratioPlusMinus } from '@twolamp/words';
import type { JSX } from 'preact';
import type { Card } from '../../bench/bench.js';
import type { Desk } from '../desk/desk.js';
import { doubtsAbout } from './doubts.js';
import { focusNext } from './focus.js';
import { useDesk } from './use-desk.js';

interface PhotoVerdictProps {
  readonly desk: Desk;
  readonly card: Card;
  readonly small?: boolean;
}

const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);

/** What one photo was good for, and what to do about it. */
export function PhotoVerdict({ desk, card, small }: PhotoVerdictProps): JSX.Element | null {
  const { conclusion } = useDesk(desk);
  const { photo } = card;
  if (photo === null || (photo.verdict === null && small)) return null;
  const faults = photo.verdict?.faults ?? [];
  const spoils = faults.some((fault) => fault.spoils);
  // What the other photos contradict, such as a reading of the tape.
  const about = `${photo.file}: `;
  const doubts = photo.used
    ? doubtsAbout(conclusion, photo.file).map((doubt) => doubt.replace(about, ''))
    : [];
  const others =
    !small &&
    photo.verdict !== null &&
    !spoils &&
    doubts.length === 0 &&
    (conclusion?.doubts.length ?? 0) > 0;
  const pair = conclusion?.result.pairs.find((one) => one.photo === photo.file);
  const word =
    photo.verdict === null
      ? 'waits for its turn'
      : spoils
        ? 'shoot it again'
        : doubts.length > 0
          ? 'doubtful'
          : faults.length > 0
            ? 'good enough'
            : 'good';
  return (
    <div class={`verdict ${spoils || doubts.length > 0 ? 'spoilt' : ''} ${small ? 'small' : ''}`}>
      <p>
        {!small && (
          <b>
            {photo.cameFrom}: {word}.
          </b>
        )}
        {small && <span class="file">{photo.file}</span>}
        {pair && pair.dip !== null && (
          <>
            {' '}
            Dip {ratioPlusMinus(pair.dip, pair.dipUncertainty)}
            {pair.separate === null ? '' : pair.separate ? ', separate.' : ', not separate.'}
          </>
        )}
      </p>
      {faults.length + doubts.length > 0 && (
        <ul>
          {faults.map(({ says }) => (
            <li key={says}>{capital(says)}.</li>
          ))}
          {doubts.map((doubt) => (
            <li key={doubt}>{capital(doubt)}</li>
          ))}
        </ul>
      )}
      {doubts.length > 0 && !small && (
        <p>
          Is it the right photo for this shot? If the tape was read wrong, correct the shot in the list below.
        </p>
      )}
      {others && (
        <p>
          But what is stated of the array or its shots doesn’t fit all photos:{' '}
          <a href="#figures">see the doubts among the figures</a>.
        </p>
      )}
      {photo.verdict !== null && (
        <p class="actions">
          {spoils && (
            <button type="button" class="quiet" onClick={() => desk.photos.use(card.id, !photo.used)}>
              {photo.used ? 'Leave it out' : 'Use it all the same'}
            </button>
          )}
          {(spoils || small || doubts.length > 0) && (
            <button type="button" class="quiet" onClick={() => desk.shots.pick(card.id)}>
              Shoot it again
            </button>
          )}
          <button
            type="button"
            class="quiet"
            aria-label={`Remove it: ${photo.cameFrom}`}
            onClick={() => {
              desk.photos.takeOff(card.id);
              focusNext('shoot-title');
            }}
          >
            Remove it
          </button>
        </p>
      )}
    </div>
  );
}
