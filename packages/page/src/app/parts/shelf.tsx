import type { JSX } from 'preact';
import { usedShots } from '../../bench/bench.js';
import type { Desk } from '../desk/desk.js';
import { FileButton } from './file-button.js';
import { focusNext } from './focus.js';
import { useDesk } from './use-desk.js';

const DAY = new Intl.DateTimeFormat('en', { dateStyle: 'medium', timeStyle: 'short' });

/** What lies in this browser, and how to begin. */
export function Shelf({ desk }: { desk: Desk }): JSX.Element {
  const { earlier } = useDesk(desk);
  return (
    <div class="shelf">
      <section aria-labelledby="begin">
        <h2 id="begin">Begin</h2>
        <p>
          Type in what your array measures. The bench predicts what to expect, lists what to shoot, judges
          each photo as it comes, and draws the figures from those that it has.
        </p>
        <p>
          You need: the array with its sheet, a phone or camera on a stand behind it, two small equal lamps, a
          tape measure, and a room that can be made dark. The short list is some twenty photos, an evening’s
          work.
        </p>
        <p class="actions">
          <button type="button" class="strong" onClick={() => desk.shelf.begin()}>
            A new array
          </button>
          <FileButton desk={desk} accept="" name="Session folder" folder>
            Open a session’s folder
          </FileButton>
          <FileButton desk={desk} accept=".zip,application/zip,.yaml" name="Session zip">
            Open a zip
          </FileButton>
        </p>
        <p class="note">A folder or a zip can be dropped anywhere on this page as well.</p>
      </section>
      {earlier !== null && earlier.length > 0 && (
        <section aria-labelledby="earlier">
          <h2 id="earlier" tabIndex={-1}>
            In this browser
          </h2>
          <ul class="benches">
            {earlier.map((bench) => {
              const taken = bench.cards.filter(({ photo }) => photo !== null).length;
              return (
                <li key={bench.id}>
                  <button type="button" class="link" onClick={() => desk.shelf.open(bench.id)}>
                    {bench.form.name || 'A new array'}
                  </button>
                  <span>
                    {bench.cards.length === 0
                      ? 'no shot list yet'
                      : `${taken} of ${bench.cards.length} shots taken, ${usedShots(bench.cards).length} good`}
                    {' · '}
                    {DAY.format(bench.changed)}
                  </span>
                  <button
                    type="button"
                    class="quiet"
                    aria-label={`Throw away ${bench.form.name || 'the new array'}`}
                    onClick={() => {
                      desk.shelf.throwAway(bench.id);
                      focusNext('earlier');
                    }}
                  >
                    Throw away
                  </button>
                </li>
              );
            })}
          </ul>
        </section>
      )}
    </div>
  );
}
