import type { Chart } from '@twolamp/report';
import { labelMap } from '@twolamp/report/maps';
import type { Result } from '@twolamp/session';
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Conclusion } from '../../worker/measured.js';
import type { Desk } from '../desk/desk.js';
import { FirstLook } from './first-look.js';
import { drawDip, plotLibrary } from './plots.js';
import { useDesk } from './use-desk.js';

/** Markup that the report package made and escaped. */
function Drawn({ markup }: { markup: string }): JSX.Element {
  return <div dangerouslySetInnerHTML={{ __html: markup }} />;
}

/** A map of the tubes that says what is under the pointer. */
function TubeMap({ markup, result }: { markup: string; result: Result }): JSX.Element {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const map = place.current?.querySelector('svg');
    return map ? labelMap(map, result) : undefined;
  }, [markup, result]);
  return <div ref={place} dangerouslySetInnerHTML={{ __html: markup }} />;
}

const REASONS: Record<Conclusion['next']['because'], string> = {
  'nothing shot yet': 'to begin with',
  'all separate so far': 'they are separate wherever you shot them, so go farther',
  'none separate so far': 'they have merged wherever you shot them, so come nearer',
  between: 'between the farthest that is separate and the nearest that isn’t',
  nudge: 'where they just merge; nudge them sideways by a few millimetres from shot to shot',
};

function Dip({ chart, alt, next }: { chart: Chart; alt: string; next: Conclusion['next'] }): JSX.Element {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (place.current) drawDip(place.current, chart, next.distanceM);
  }, [chart, next.distanceM]);
  return <div class="chart" ref={place} role="img" aria-label={alt} />;
}

/** Step 3: what the shots so far tell. */
export function Figures({ desk }: { desk: Desk }): JSX.Element {
  const { conclusion, trouble, bench, concluding, firstLook } = useDesk(desk);
  const [shown, setShown] = useState<'tubes' | 'pointing'>('tubes');
  const pairs = bench?.cards.some(({ shot }) => shot.kind === 'pair');
  const isMapped = conclusion !== null;
  useEffect(() => {
    if (isMapped && pairs) plotLibrary();
  }, [isMapped, pairs]);
  return (
    <section id="figures" aria-labelledby="figures-title">
      <h2 id="figures-title">Figures so far</h2>
      {trouble && (
        <p class="trouble" role="alert">
          {trouble}
        </p>
      )}
      {conclusion === null ? (
        <>
          {firstLook && <FirstLook look={firstLook} />}
          <p class="note">
            {concluding
              ? `${concluding.done} of ${concluding.of} photos measured.`
              : 'The first even shot fills the map of the tubes; the first pair begins the curve.'}
          </p>
        </>
      ) : (
        <>
          <Drawn markup={conclusion.figures.marks} />
          {conclusion.doubts.length > 0 && (
            <ul class="doubts">
              {conclusion.doubts.map((doubt) => (
                <li key={doubt}>{doubt}</li>
              ))}
            </ul>
          )}
          <div class="figures">
            {(conclusion.figures.dip || pairs) && (
              <div>
                {conclusion.figures.dip && (
                  <figure>
                    <Dip {...conclusion.figures.dip} next={conclusion.next} />
                    <figcaption>Dip between the two lamps at each distance shot.</figcaption>
                  </figure>
                )}
                {pairs && (
                  <p class="next">
                    Next pair: <b>{conclusion.next.distanceM.toPrecision(3)} m</b>,{' '}
                    {REASONS[conclusion.next.because]}.{' '}
                    <button
                      type="button"
                      class="link"
                      onClick={() =>
                        desk.shots.askForPair(1000 * Number(conclusion.next.distanceM.toPrecision(3)))
                      }
                    >
                      Ask for it next
                    </button>
                  </p>
                )}
              </div>
            )}
            <div>
              {conclusion.figures.pointing && (
                <fieldset class="switch" aria-label="Which map">
                  <button type="button" aria-pressed={shown === 'tubes'} onClick={() => setShown('tubes')}>
                    Light of each tube
                  </button>
                  <button
                    type="button"
                    aria-pressed={shown === 'pointing'}
                    onClick={() => setShown('pointing')}
                  >
                    Where they look
                  </button>
                </fieldset>
              )}
              <TubeMap
                markup={
                  shown === 'pointing' && conclusion.figures.pointing
                    ? conclusion.figures.pointing
                    : conclusion.figures.tubes
                }
                result={conclusion.result}
              />
            </div>
          </div>
        </>
      )}
    </section>
  );
}
