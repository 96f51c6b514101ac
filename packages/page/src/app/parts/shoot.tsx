import { shotText } from '@twolamp/plan';
import type { Shot } from '@twolamp/session';
import type { JSX } from 'preact';
import { type Card, isOpen } from '../../bench/bench.js';
import type { Conclusion } from '../../worker/measured.js';
import { KIND_NAMES } from '../../bench/cards.js';
import type { Desk } from '../desk/desk.js';
import { doubtsAbout } from './doubts.js';
import { FileButton } from './file-button.js';
import { LiveCamera } from './live-camera.js';
import { PhoneDoor } from './phone-door.js';
import { PhotoVerdict } from './photo-verdict.js';
import { ShotDrawing } from './shot-drawing.js';
import { ShotNumbers } from './shot-numbers.js';
import { useDesk } from './use-desk.js';

const PHOTOS = 'image/*,.heic,.heif,.tif,.tiff,.avif,.webp';

const capital = (text: string) => `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
const sentence = (text: string) => `${capital(text)}.`;

/** What to watch for, by kind. */
const HINTS: Record<Shot['kind'], string> = {
  dark: 'Curtains and screens as they will be during the other shots. Expose as for the even shot.',
  even: 'Expose so that the brightest tubes come to about three quarters of white, and none is white.',
  pair: 'Measure from the front face to the line between the lamps. Lamps get hot: nothing that burns near them.',
  lamp: 'Measure from the middle of the front face. Across grows to the right, up upwards, seen from the back.',
  single:
    'A card with one hole over the front end of that tube, lit from in front. Count rows from the top, columns from the left, from the back.',
  bare: 'Take the array away and leave the sheet where it was, in the same even light, at the same exposure.',
};

function CurrentCard({ desk, card }: { desk: Desk; card: Card }): JSX.Element {
  const { bench } = useDesk(desk);
  const cards = bench?.cards ?? [];
  const number = cards.indexOf(card) + 1;
  const alike = cards.filter(({ shot }) => shot.kind === card.shot.kind);
  const open = alike.filter(isOpen);
  const repeated = ['dark', 'even', 'bare'].includes(card.shot.kind) && alike.indexOf(card) > 0;
  return (
    <article class="card-now" aria-labelledby="now">
      <div>
        <p class="which">
          Shot {number} of {cards.length} · {KIND_NAMES[card.shot.kind].one.toLowerCase()}{' '}
          {alike.indexOf(card) + 1} of {alike.length}
        </p>
        <h3 id="now">{sentence(shotText(card.shot))}</h3>
        <p>
          {HINTS[card.shot.kind]}
          {repeated && ' Once more with nothing changed: two photos average the noise out.'}
        </p>
        <ShotNumbers key={card.id} desk={desk} card={card} />
        <p class="actions">
          <FileButton desk={desk} accept={PHOTOS} name="Photos" strong>
            {card.photo ? 'Choose another photo' : 'Choose the photo'}
          </FileButton>
          {card.photo === null && (
            <button type="button" onClick={() => desk.shots.leaveOut([card.id], true)}>
              Leave this shot out
            </button>
          )}
          {open.length > 2 && (
            <button
              type="button"
              onClick={() =>
                desk.shots.leaveOut(
                  open.map(({ id }) => id),
                  true,
                )
              }
            >
              Leave out all {open.length} left of this kind
            </button>
          )}
        </p>
        <p class="note">
          Or drop photos anywhere on this page: one goes to this shot, several to this and the next.
        </p>
      </div>
      <ShotDrawing shot={card.shot} />
    </article>
  );
}

function Looking({ desk }: { desk: Desk }): JSX.Element | null {
  const { looking, concluding } = useDesk(desk);
  const busy = looking ?? concluding;
  if (busy === null) return null;
  return (
    <p class="busy">
      <progress max={busy.of} value={busy.done} aria-label="Photos done" />
      {looking || busy.done < busy.of
        ? `${looking ? 'Looking at' : 'Measuring'} ${busy.what}, ${busy.done + 1} of ${busy.of}`
        : `Drawing the figures from ${busy.of} photos`}
    </p>
  );
}

/** Shots of which nothing is stated. */
const PLAIN_SHOTS = [
  ['even', 'an even shot'],
  ['dark', 'a dark shot'],
  ['bare', 'a bare sheet'],
] as const;

const STATES = {
  open: { mark: '○', says: 'to be shot' },
  waiting: { mark: '…', says: 'waits for its turn' },
  good: { mark: '●', says: 'good' },
  doubtful: { mark: '?', says: 'doubtful' },
  poorer: { mark: '◐', says: 'good enough' },
  spoilt: { mark: '✕', says: 'to be shot again' },
  out: { mark: '–', says: 'left out' },
} as const;

function stateOf({ photo, leftOut }: Card, conclusion: Conclusion | null): keyof typeof STATES {
  if (photo === null) return leftOut ? 'out' : 'open';
  if (photo.verdict === null) return 'waiting';
  if (!photo.used) return 'spoilt';
  if (doubtsAbout(conclusion, photo.file).length > 0) return 'doubtful';
  return photo.verdict.faults.length > 0 ? 'poorer' : 'good';
}

function CardList({
  desk,
  cards,
  current,
}: {
  desk: Desk;
  cards: readonly Card[];
  current: string | null;
}): JSX.Element {
  const { conclusion } = useDesk(desk);
  const kinds = [...new Set(cards.map(({ shot }) => shot.kind))];
  return (
    <div class="groups">
      {kinds.map((kind) => {
        const group = cards.filter(({ shot }) => shot.kind === kind);
        const taken = group.filter(({ photo }) => photo?.used && photo.verdict !== null).length;
        const states = group.map((card) => stateOf(card, conclusion));
        const spoilt = states.filter((state) => state === 'spoilt').length;
        const doubtful = states.filter((state) => state === 'doubtful').length;
        return (
          <details key={kind} class="group">
            <summary>
              <b>{KIND_NAMES[kind].many}</b>
              <span class="tally">
                {taken} of {group.length}
                {spoilt > 0 ? `, ${spoilt} to be shot again` : ''}
                {doubtful > 0 ? `, ${doubtful} doubtful` : ''}
              </span>
              <span class="row-of-marks" aria-hidden="true">
                {group.map((card, n) => (
                  <span key={card.id} class={`dot mark-${states[n]}`} />
                ))}
              </span>
            </summary>
            <ol>
              {group.map((card, n) => {
                const state = states[n]!;
                return (
                  <li key={card.id} aria-current={card.id === current ? 'step' : undefined}>
                    <span class={`state ${state}`}>
                      <span aria-hidden="true">{STATES[state].mark}</span> {STATES[state].says}
                    </span>
                    <button type="button" class="link" onClick={() => desk.shots.pick(card.id)}>
                      {shotText(card.shot)}
                    </button>
                    {card.photo && <PhotoVerdict desk={desk} card={card} small />}
                    {card.leftOut && (
                      <button
                        type="button"
                        class="quiet"
                        onClick={() => desk.shots.leaveOut([card.id], false)}
                      >
                        Put back
                      </button>
                    )}
                  </li>
                );
              })}
            </ol>
          </details>
        );
      })}
    </div>
  );
}

/** Step 2: the next shot large, the verdict on the last photo, the whole list. */
export function Shoot({ desk }: { desk: Desk }): JSX.Element {
  const { bench, last, plan } = useDesk(desk);
  const cards = bench?.cards ?? [];
  const current = desk.shots.current();
  const judged = cards.find(({ id }) => id === last);
  const taken = cards.filter(({ photo }) => photo !== null).length;
  return (
    <section id="shoot" aria-labelledby="shoot-title">
      <h2 id="shoot-title" tabIndex={-1}>
        Shoot
      </h2>
      <details class="setting" open={taken === 0}>
        <summary>How the camera stands, and what exposure to start from</summary>
        <p>
          Put the phone or camera on a stand behind the sheet, so that the whole sheet fills the picture and
          is in focus. Leave it there from the first photo to the last: same place, same zoom, same size and
          orientation of the photos, no flash. Fix focus and exposure where the camera lets you; the brightest
          tubes must stay below white.
        </p>
        {plan?.exposures.map((line) => (
          <p key={line}>{capital(line.replace(/^- /, ''))}</p>
        ))}
      </details>
      <div aria-live="polite">
        <Looking desk={desk} />
        {judged?.photo && <PhotoVerdict desk={desk} card={judged} />}
      </div>
      {current ? (
        <CurrentCard desk={desk} card={current} />
      ) : (
        <p class="done">
          All shots are taken ({taken}) or left out. Add one of your own below, or go on to the report.
        </p>
      )}
      <LiveCamera desk={desk} />
      <PhoneDoor desk={desk} />
      <CardList desk={desk} cards={cards} current={current?.id ?? null} />
      <p class="actions">
        <button
          type="button"
          onClick={() => {
            const like = cards.findLast(({ shot }) => shot.kind === 'pair')?.shot;
            desk.shots.addShot(
              like?.kind === 'pair'
                ? like
                : {
                    photo: 'pair.jpg',
                    kind: 'pair',
                    stated: {},
                    spacingMm: 60,
                    distanceMm: 1000,
                    turnedDeg: 0,
                    acrossMm: 0,
                    upMm: 0,
                  },
            );
          }}
        >
          Add a pair of lamps
        </button>
        <button
          type="button"
          onClick={() =>
            desk.shots.addShot({
              photo: 'lamp.jpg',
              kind: 'lamp',
              stated: {},
              acrossMm: 0,
              upMm: 0,
              distanceMm: 1000,
            })
          }
        >
          Add a lamp
        </button>
        <button
          type="button"
          onClick={() => {
            // Packed tubes have neither rows nor columns.
            const place = bench?.form.arrangement === 'packed' ? 0 : 1;
            desk.shots.addShot({
              photo: 'single.jpg',
              kind: 'single',
              stated: {},
              row: place,
              column: place,
            });
          }}
        >
          Add a single tube
        </button>
        {PLAIN_SHOTS.map(([kind, name]) => (
          <button
            key={kind}
            type="button"
            onClick={() => desk.shots.addShot({ photo: `${kind}.jpg`, kind, stated: {} })}
          >
            Add {name}
          </button>
        ))}
      </p>
    </section>
  );
}
