import type { Preview } from '@twolamp/session';
import { detailAnswer, exposureAnswer, lengthM } from '@twolamp/words';
import { html, type SafeHtml } from '../html/html.js';
import { answerText } from './answer-text.js';
import { doubtSection } from './doubt-section.js';
import { findingList } from './finding-list.js';
import { contents, present, type Section, sectionList } from './section.js';
import { plainPageShell } from './shell.js';
import type { PageSource } from './source.js';

/** One picture on the sheet, as data addresses. */
interface Print {
  readonly positive: string;
  readonly negative: string;
}

export interface PreviewPictures {
  /** The scene itself, as a data address. */
  readonly scene: string;
  readonly asMeasured: Print;
  readonly repaired: Print;
  readonly perfect: Print;
}

function picture(address: string, caption: string): SafeHtml {
  return html`<figure><img class="picture" src="${address}" alt="${caption}"><figcaption>${caption}</figcaption></figure>`;
}

/** The scene, with a frame around what the tubes see of it. */
function scenePicture({ photo, widthM, heightM, field }: Preview['scene'], address: string): SafeHtml {
  const percent = (share: number) => `${(100 * Math.min(1, Math.max(0, share))).toFixed(2)}%`;
  const inset = [
    percent(0.5 - field.topM / heightM),
    percent(0.5 - field.rightM / widthM),
    percent(0.5 + field.bottomM / heightM),
    percent(0.5 + field.leftM / widthM),
  ];
  const caption = `The scene: ${photo}`;
  return html`<figure><div class="framed"><img class="picture" src="${address}" alt="${caption}"><span style="inset:${inset.join(' ')}"></span></div>
<figcaption>${caption}. The frame is what the tubes look at.</figcaption></figure>`;
}

const CAPTIONS = {
  asMeasured: 'The array as measured',
  repaired: 'With the pull list replaced',
  perfect: 'A perfect array of the same geometry',
};

function sections({ scene, findings }: Preview, pictures: PreviewPictures): Section[] {
  const print = (state: keyof typeof CAPTIONS, side: keyof Print) =>
    picture(pictures[state][side], CAPTIONS[state]);
  return present([
    {
      id: 'positive',
      title: 'What the sheet shows',
      body: html`<div class="pair">${scenePicture(scene, pictures.scene)}${print('asMeasured', 'positive')}</div>
<div class="pair">${print('repaired', 'positive')}${print('perfect', 'positive')}</div>
<p>Seen from the back, all on one scale of brightness. Each spot is drawn evenly filled.</p>`,
    },
    {
      id: 'negative',
      title: 'What a paper negative shows',
      body: html`<div class="pair">${print('asMeasured', 'negative')}${print('repaired', 'negative')}${print('perfect', 'negative')}</div>
<p>Seen from the back as well: with its coated side towards you, a paper negative shows left and right exchanged. The paper’s own contrast isn’t in it.</p>`,
    },
    {
      id: 'notes',
      title: 'Notes',
      body: findingList(findings),
    },
  ]);
}

/**
 * A scene as the array paints it, as one HTML document that works offline.
 *
 * @param doubts - what the array's session states and its photos contradict, a sentence each
 */
export function previewPage(
  preview: Preview,
  pictures: PreviewPictures,
  source: PageSource,
  doubts: readonly string[] = [],
): string {
  const { array, scene } = preview;
  const parts = sections(preview, pictures);
  const size = `${lengthM(scene.widthM)} × ${lengthM(scene.heightM)}`;
  return plainPageShell({
    source,
    title: `${array} – preview`,
    header: html`<header class="top"><p class="kind">Preview</p><h1>${array}</h1><p class="facts">${scene.photo}, ${size}, ${lengthM(scene.distanceM)} from the front face</p></header>`,
    main: html`<div class="answers">
${doubtSection(doubts)}
<section class="answer">${answerText('How much of the scene’s detail is left?', detailAnswer(preview))}</section>
<section class="answer">${answerText('How long to expose?', exposureAnswer(preview))}</section>
</div>
${contents(parts)}
<div class="evidence wide">${sectionList(parts)}</div>`,
  });
}
