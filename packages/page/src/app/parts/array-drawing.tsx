import { parseLengthMm } from '@twolamp/session';
import type { JSX } from 'preact';
import { type ArrayForm, withUnit } from '../../bench/array-form.js';

/** Room of the drawing; its unit is one pixel of a drawing that isn't scaled. */
const WIDTH = 560;
const HEIGHT = 250;
/** More tubes than these would be a grey block. */
const MOST_TUBES = 40;

const mm = (text: string) => {
  const value = parseLengthMm(withUnit(text, 'mm'));
  return value !== null && value > 0 ? value : null;
};

/** What is drawn while a figure is missing, so that the drawing never jumps from nothing. */
const GUESS = { rows: 24, length: 150, bore: 2.6, back: 3, front: 4.2 };

/**
 * The array cut upright and seen from the side, true to scale: the sheet on the left, the front face on the right, the two
 * lamps beyond it. What isn't known yet is drawn faint.
 */
export function ArrayDrawing({ form }: { form: ArrayForm }): JSX.Element {
  // A packed bundle is about as high as it is wide.
  const rowsGiven =
    form.arrangement === 'packed' ? Math.round(Math.sqrt(Number(form.tubes))) : Number(form.rows);
  const rows = Number.isInteger(rowsGiven) && rowsGiven >= 2 && rowsGiven <= 500 ? rowsGiven : GUESS.rows;
  const given = {
    length: mm(form.tubeLength),
    bore: mm(form.tubeBore),
    back: mm(form.backPitch),
    front: mm(form.frontPitch === '' && form.arrangement === 'packed' ? form.backPitch : form.frontPitch),
  };
  const length = given.length ?? GUESS.length;
  const back = given.back ?? GUESS.back;
  const front = given.front ?? Math.max(back, given.front ?? (given.back === null ? GUESS.front : back));
  const bore = Math.min(given.bore ?? GUESS.bore, back);
  const known = given.length !== null && given.bore !== null && given.back !== null && given.front !== null;
  const rowStep = form.arrangement !== 'square' ? Math.sqrt(3) / 2 : 1;
  const high = (rows - 1) * rowStep * Math.max(front, back) + bore;
  const scale = Math.min((WIDTH * 0.62) / length, (HEIGHT - 70) / high);
  const left = 60;
  const right = left + length * scale;
  const middle = HEIGHT / 2 - 4;
  const every = Math.ceil(rows / MOST_TUBES);
  const tubes = Array.from({ length: rows }, (_, i) => i - (rows - 1) / 2).filter((_, i) => i % every === 0);
  const at = (place: number, pitch: number) => middle + place * pitch * rowStep * scale;
  const backHalf = ((rows - 1) / 2) * back * rowStep * scale + (bore * scale) / 2 + 6;
  const frontHalf = ((rows - 1) / 2) * front * rowStep * scale + (bore * scale) / 2 + 6;
  const lampX = WIDTH - 34;
  const lampGap = 17;
  const alt = known
    ? `The array from the side, true to scale: ${rows} tubes ${withUnit(form.tubeLength, 'mm')} long, ${back} mm apart at the sheet and ${front} mm at the front.`
    : 'The array from the side; it is drawn to scale once its figures are there.';
  return (
    <figure class={`array-drawing ${known ? '' : 'guessed'}`}>
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={alt}>
        <g class="beam">
          <path d={`M${lampX} ${middle - lampGap}L${right} ${middle - frontHalf * 0.5}`} />
          <path d={`M${lampX} ${middle - lampGap}L${right} ${middle + frontHalf * 0.2}`} />
          <path d={`M${lampX} ${middle + lampGap}L${right} ${middle - frontHalf * 0.2}`} />
          <path d={`M${lampX} ${middle + lampGap}L${right} ${middle + frontHalf * 0.5}`} />
        </g>
        <g class="tubes" stroke-width={Math.max(0.8, bore * scale * 0.8 * Math.min(every, 2))}>
          {tubes.map((place) => (
            <path key={place} d={`M${left} ${at(place, back)}L${right} ${at(place, front)}`} />
          ))}
        </g>
        <path class="sheet" d={`M${left - 7} ${middle - backHalf}V${middle + backHalf}`} />
        <path class="grid" d={`M${right} ${middle - frontHalf}V${middle + frontHalf}`} />
        {[-lampGap, lampGap].map((dy) => (
          <g key={dy}>
            <circle class="halo-of-lamp" cx={lampX} cy={middle + dy} r="12" />
            <circle class="lamp" cx={lampX} cy={middle + dy} r="6" />
          </g>
        ))}
        <g class="words">
          <text x={left - 12} y={middle + backHalf + 18} text-anchor="middle">
            sheet
          </text>
          <text x={right} y={middle + frontHalf + 18} text-anchor="middle">
            front
          </text>
          <text x={lampX} y={middle + 46} text-anchor="middle">
            lamps
          </text>
          {given.length !== null && (
            <text x={(left + right) / 2} y={middle + Math.max(backHalf, frontHalf) + 18} text-anchor="middle">
              {withUnit(form.tubeLength, 'mm')}
            </text>
          )}
        </g>
      </svg>
    </figure>
  );
}
