import type { Way, Weighing } from '@twolamp/session';
import {
  distanceText,
  durationPlusMinus,
  hoursText,
  lengthM,
  plusMinus,
  significant,
  trimmed,
  worthSentence,
} from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';
import { doubtSection } from './doubt-section.js';
import { plainPageShell } from './shell.js';
import type { PageSource } from './source.js';

interface Row {
  readonly title: string;
  readonly of: (way: Way) => { readonly text: string; readonly basis: 'measured' | 'predicted' | null };
}

const UNKNOWN = { text: 'not known', basis: null };

/** A subject wider than the picture takes all cells of a row, for certain. */
function cellsText(cells: number, uncertainty: number | null): string {
  if (uncertainty === 0) return `all ${trimmed(cells)}`;
  return uncertainty === null ? significant(cells, 3) : plusMinus(cells, uncertainty);
}

const degrees = (value: number) => `${value.toFixed(1)}°`;

function rowsOf({ subject, lens }: Weighing): Row[] {
  return [
    { title: 'Tubes', of: ({ tubes }) => ({ text: String(tubes), basis: null }) },
    { title: 'Tubes to make', of: ({ newTubes }) => ({ text: String(newTubes), basis: null }) },
    { title: 'Work', of: ({ hours }) => ({ text: hoursText(hours), basis: null }) },
    {
      title: 'Resolving distance',
      of: ({ resolvingM }) => ({ text: distanceText(resolvingM), basis: resolvingM?.basis ?? null }),
    },
    {
      title: 'Field of view, across × up',
      of: ({ fieldDeg: { across, up, uncertainty, basis } }) => ({
        text: `${degrees(across)} × ${degrees(up)}${uncertainty === null ? '' : `, ± ${significant(uncertainty, 1)}° each`}`,
        basis,
      }),
    },
    { title: 'Rows × columns', of: ({ rows, columns }) => ({ text: `${rows} × ${columns}`, basis: null }) },
    ...(subject
      ? [
          {
            title: `Cells (spots of single tubes) across ${lengthM(subject.widthM)} at ${lengthM(subject.distanceM)}`,
            of: ({ cellsAcrossSubject: cells }: Way) =>
              cells === null
                ? UNKNOWN
                : {
                    text: cellsText(cells.value, cells.uncertainty),
                    basis: cells.basis,
                  },
          },
        ]
      : []),
    {
      title: 'Light: as behind a lens at f/',
      of: ({ effectiveFNumber: light }) =>
        light === null
          ? UNKNOWN
          : {
              text:
                light.uncertainty === null
                  ? significant(light.value, 2)
                  : plusMinus(light.value, light.uncertainty),
              basis: light.basis,
            },
    },
    ...(lens
      ? [
          {
            title: 'Exposure',
            of: ({ exposure }: Way) =>
              exposure === null
                ? UNKNOWN
                : { text: durationPlusMinus(exposure.seconds, exposure.uncertaintyS), basis: exposure.basis },
          },
        ]
      : []),
  ];
}

/** @param pictures - data addresses by the file names that the weighing has */
function picturesOf({ ways }: Weighing, pictures: ReadonlyMap<string, string>): SafeHtml | null {
  const shown = ways.flatMap(({ way, preview }) => {
    const address = preview === null ? undefined : pictures.get(preview);
    return address === undefined ? [] : [{ way, address }];
  });
  if (shown.length === 0) return null;
  return html`<section id="pictures" aria-labelledby="pictures-title"><h2 id="pictures-title">What the sheet would show</h2><div class="pair">${shown.map(
    ({ way, address }) =>
      html`<figure><img class="picture" src="${address}" alt="The scene, ${way}"><figcaption>${way}</figcaption></figure>`,
  )}</div></section>`;
}

/**
 * Ways to go on with an array side by side, as one HTML document that works offline.
 *
 * @param pictures - data addresses by the file names that the weighing has
 * @param doubts - what its session states and its photos contradict, a sentence each
 */
export function weighingPage(
  weighing: Weighing,
  pictures: ReadonlyMap<string, string>,
  source: PageSource,
  doubts: readonly string[] = [],
): string {
  const { array, ways, minutesPerTube, lens } = weighing;
  const table = html`<div class="scroll" tabindex="0" role="group" aria-label="Ways to go on"><table><thead><tr><th scope="col">Way</th>${ways.map(
    ({ way }) => html`<th scope="col">${way}</th>`,
  )}</tr></thead><tbody>${rowsOf(weighing).map(
    ({ title, of }) =>
      html`<tr><th scope="row">${title}</th>${ways.map((way) => {
        const { text, basis } = of(way);
        return html`<td>${text}${basis === null ? null : html` <small>${basis}</small>`}</td>`;
      })}</tr>`,
  )}</tbody></table></div>`;
  const minutes = `${minutesPerTube.value} min a tube, ${minutesPerTube.stated ? 'as stated' : 'assumed: state minutes-per-tube in session.yaml'}`;
  return plainPageShell({
    source,
    title: `${array} – is it worth going on?`,
    header: html`<header class="top"><p class="kind">Weighing</p><h1>${array}</h1><p class="facts">${minutes}</p></header>`,
    main: html`<div class="answers">${doubtSection(doubts)}<section class="answer lead alone"><div><h2>Is it worth it?</h2><p class="headline">${worthSentence(weighing)}</p>
<p>Only you can say what it is worth to you. “Measured” was measured on this array; “predicted” follows from what was measured and from theory, for tubes built as the healthy ones are.</p></div></section></div>
<div class="evidence wide"><div class="sections"><section id="ways" aria-labelledby="ways-title"><h2 id="ways-title">Ways to go on</h2>${table}
${lens === null ? null : html`<p>Paper and film respond less in long exposures (reciprocity failure): commonly two to ten times the scaled time is needed beyond a minute or so. Try a strip first.</p>`}</section>
${picturesOf(weighing, pictures)}</div></div>`,
  });
}
