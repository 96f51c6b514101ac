import { CAUTIONS } from '@twolamp/words';
import type { JSX } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Desk } from './desk/desk.js';
import { keepAll } from './offline.js';
import { ArrayPart } from './parts/array-part.js';
import { Figures } from './parts/figures.js';
import { focusNext } from './parts/focus.js';
import { takeDropped } from './parts/files-in.js';
import { ReportPart } from './parts/report-part.js';
import { Shelf } from './parts/shelf.js';
import { Shoot } from './parts/shoot.js';
import { useDesk } from './parts/use-desk.js';
import { workers } from './workers.js';

function Notices({ desk }: { desk: Desk }): JSX.Element {
  const { undo, message } = useDesk(desk);
  return (
    <div class="notices">
      <div role="alert">
        {message && (
          <p class="notice wrong">
            <span>{message}</span>
            <button type="button" onClick={() => desk.say(null)}>
              Close
            </button>
          </p>
        )}
      </div>
      <div role="status">
        {undo && (
          <p class="notice">
            <span>{undo.says}</span>
            <button type="button" onClick={undo.undo}>
              Undo
            </button>
          </p>
        )}
      </div>
    </div>
  );
}

/** Keeps the whole page for use without a network, once there is a bench that needs it. */
function Offline(): JSX.Element {
  const [says, setSays] = useState('');
  useEffect(() => {
    // The measurement is made ready before the first photo comes.
    workers.look();
    workers.conclude();
    keepAll(({ done, of }) => {
      setSays(
        done === of
          ? ' The page works without a network from now on.'
          : ` Kept for use without a network: ${done} of ${of} files.`,
      );
    });
  }, []);
  return <>{says}</>;
}

function Cautions({ withBench }: { withBench: boolean }): JSX.Element {
  return (
    <footer class="cautions-of-bench">
      <h2>Cautions</h2>
      <ul>
        {CAUTIONS.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      <p>
        Photos and figures stay in this browser. Nothing is sent anywhere.
        {withBench && <Offline />}
      </p>
    </footer>
  );
}

export function App({ desk }: { desk: Desk }): JSX.Element {
  const { bench, conclusion, looking, drawing } = useDesk(desk);

  useEffect(() => {
    document.body.dataset.busy = looking || drawing ? 'yes' : 'no';
  }, [looking, drawing]);

  const laid = useRef<string | undefined>(undefined);
  useEffect(() => {
    // Not on the first drawing: a page that opens leaves the keyboard's place alone.
    if (laid.current !== undefined) focusNext('title');
    laid.current = bench?.id ?? '';
  }, [bench?.id]);

  useEffect(() => {
    const over = (event: DragEvent) => {
      if (event.dataTransfer?.types.includes('Files')) event.preventDefault();
    };
    const drop = (event: DragEvent) => {
      if (!event.dataTransfer?.types.includes('Files')) return;
      event.preventDefault();
      takeDropped(event.dataTransfer, desk);
    };
    document.addEventListener('dragover', over);
    document.addEventListener('drop', drop);
    return () => {
      document.removeEventListener('dragover', over);
      document.removeEventListener('drop', drop);
    };
  }, [desk]);

  return (
    <>
      <a class="skip" href="#main">
        Skip to the bench
      </a>
      <header class="top">
        <p class="kind">Twolamp bench</p>
        {bench ? (
          <>
            <h1 id="title" tabIndex={-1}>
              {bench.form.name || 'A new array'}
            </h1>
            <p class="facts">
              <button type="button" class="link" onClick={() => desk.putAway()}>
                All benches
              </button>
            </p>
          </>
        ) : (
          <h1 id="title" tabIndex={-1}>
            How far away can two lamps be, and still show as two?
          </h1>
        )}
      </header>
      <main id="main">
        {bench === null ? (
          <Shelf desk={desk} />
        ) : (
          <>
            <ArrayPart desk={desk} />
            {bench.cards.length > 0 && <Shoot desk={desk} />}
            {bench.cards.length > 0 && <Figures desk={desk} />}
            {conclusion && <ReportPart desk={desk} />}
          </>
        )}
      </main>
      <Cautions withBench={bench !== null && bench.cards.length > 0} />
      <Notices desk={desk} />
    </>
  );
}
