import { placeLayout } from '@twolamp/optics';
import type { ArrayOfTubes } from '../maps/lattice.js';
import type { TubeNumber } from './data.js';
import { element } from './element.js';
import type { Story } from './story.js';

/**
 * The panel that tells of one tube.
 * @returns fills it; false where the page knows nothing of that tube
 */
export function connectPanel(
  panel: HTMLElement,
  storyOf: (tube: TubeNumber) => Story | null,
): (tube: TubeNumber) => boolean {
  const aside = panel.closest('aside');
  let opener: HTMLElement | null = null;
  const close = () => {
    if (!aside?.classList.contains('open')) return;
    aside.classList.remove('open');
    opener?.focus({ preventScroll: true });
    opener = null;
  };
  document.addEventListener('keydown', (event) => {
    if (event.key === 'Escape') close();
  });
  return (tube) => {
    const story = storyOf(tube);
    if (!story) return false;
    const button = element('button', { type: 'button', class: 'close', 'aria-label': 'Close' }, '×');
    button.addEventListener('click', close);
    panel.replaceChildren(button, ...story.content);
    aside?.classList.add('open');
    story.draw?.();
    // A map keeps the focus, for its arrow keys; from a list or the form it goes to the story, and back on closing. The
    // panel lies over the page, which stays where it is.
    const active = document.activeElement;
    if (active instanceof HTMLElement && active !== document.body && !aside?.contains(active))
      opener = active;
    if (active instanceof HTMLElement) focusTitle(panel);
    return true;
  };
}

function focusTitle(panel: HTMLElement): void {
  const title = panel.querySelector<HTMLElement>('h2');
  title?.setAttribute('tabindex', '-1');
  title?.focus({ preventScroll: true });
}

/** Buttons that name a tube, and the form that asks for one by its numbers. */
export function connectTubeButtons(array: ArrayOfTubes, choose: (tube: TubeNumber) => void): void {
  document.addEventListener('click', (event) => {
    const button = event.target instanceof Element ? event.target.closest<HTMLElement>('button.tube') : null;
    if (button) choose({ cell: Number(button.dataset.cell) });
  });
  document.querySelector<HTMLFormElement>('#go')?.addEventListener('submit', (event) => {
    event.preventDefault();
    const values = new FormData(event.currentTarget as HTMLFormElement);
    const at = placeLayout(array).at(Number(values.get('row')), Number(values.get('column')));
    choose({ cell: array.arrangement === 'packed' ? Number(values.get('cell')) : at + 1 });
  });
}
