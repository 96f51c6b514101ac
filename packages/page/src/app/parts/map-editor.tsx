import type { JSX } from 'preact';
import { useRef } from 'preact/hooks';
import type { ArrayForm } from '../../bench/array-form.js';
import { mapLines, mapSymbols, nextSymbol, withSymbol } from '../../bench/array-map.js';
import type { Desk } from '../desk/desk.js';
import { useDesk } from './use-desk.js';

/** More places than these are too small to be pressed; then the text alone is left. */
const MOST_PLACES = 3000;
/** One place of the drawing. */
const STEP = 10;

const KINDS: Record<string, string> = { '#': 'tube', o: 'hole', '.': 'none' };

interface PlacesProps {
  readonly desk: Desk;
  readonly form: ArrayForm;
  readonly rows: number;
  readonly columns: number;
}

/** The places to press, or to draw over. The text beside says the same, for the keyboard and for screen readers. */
function Places({ desk, form, rows, columns }: PlacesProps): JSX.Element {
  const drawing = useRef<string | null>(null);
  const size = { rows, columns };
  const symbols = mapSymbols(form.map, size);
  const shift = (row: number) =>
    form.arrangement === 'hexagonal' && (row % 2 === 0) === (form.shiftedRows === 'odd') ? STEP / 2 : 0;
  const put = (x: number, y: number) => {
    const place = document.elementFromPoint(x, y)?.getAttribute('data-place') ?? null;
    if (place === null) return;
    drawing.current ??= nextSymbol(symbols[Number(place)]!);
    desk.planning.edit({ map: withSymbol(form.map, size, Number(place), drawing.current) });
  };
  return (
    <svg
      class="places"
      viewBox={`0 0 ${STEP * (columns + 0.5)} ${STEP * rows}`}
      aria-hidden="true"
      onPointerDown={({ clientX, clientY }) => {
        drawing.current = null;
        put(clientX, clientY);
      }}
      onPointerMove={({ buttons, clientX, clientY }) => {
        if (buttons === 1 && drawing.current !== null) put(clientX, clientY);
      }}
    >
      {[...symbols].map((symbol, k) => {
        const row = Math.floor(k / columns);
        return (
          <circle
            key={k}
            class={KINDS[symbol] ?? 'none'}
            data-place={k}
            cx={STEP * ((k % columns) + 0.5) + shift(row)}
            cy={STEP * (row + 0.5)}
            r={STEP * 0.4}
          />
        );
      })}
    </svg>
  );
}

/** Which places of the grid have no tube: an array that is half built, or no rectangle. */
export function MapEditor({ desk }: { desk: Desk }): JSX.Element | null {
  const { bench } = useDesk(desk);
  if (bench === null || bench.form.arrangement === 'packed') return null;
  const { form } = bench;
  const [rows, columns] = [Number(form.rows), Number(form.columns)];
  const drawn =
    Number.isInteger(rows) &&
    Number.isInteger(columns) &&
    rows >= 2 &&
    columns >= 2 &&
    rows * columns <= MOST_PLACES;
  const lines = mapLines(form.map);
  return (
    <details class="map-editor" open={lines !== null}>
      <summary>Places without a tube</summary>
      <p class="note">
        Seen from the back.{' '}
        {drawn ? 'Press a place, or draw over several: first a hole without a tube, then no hole. ' : ''}
        Or one line a row, one character a place: # a tube, o a hole without a tube yet, . no hole.
      </p>
      {drawn && <Places desk={desk} form={form} rows={rows} columns={columns} />}
      <label for="field-map">The map as text; empty where every place has a tube</label>
      <textarea
        id="field-map"
        rows={Math.min(12, Math.max(3, lines?.length ?? 0))}
        spellcheck={false}
        value={form.map}
        onInput={({ currentTarget }) => desk.planning.edit({ map: currentTarget.value })}
      />
      {lines?.some((line) => line.includes('o')) && (
        <div class="line choice">
          <label for="field-unfilled">Holes without a tube</label>
          <select
            id="field-unfilled"
            value={form.unfilled}
            onChange={({ currentTarget }) =>
              desk.planning.edit({ unfilled: currentTarget.value as ArrayForm['unfilled'] })
            }
          >
            <option value="">not known</option>
            <option value="covered">covered: no light comes through</option>
            <option value="open">open: light comes through</option>
          </select>
        </div>
      )}
    </details>
  );
}
