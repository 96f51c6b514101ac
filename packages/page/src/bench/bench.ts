import type { Shot, Tone } from '@twolamp/session';
import type { ArrayForm } from './array-form.js';

/** What the first look at a photo told. */
export interface Verdict {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly exposureS: number | null;
  readonly faults: readonly { readonly spoils: boolean; readonly says: string }[];
}

/** A photo on a card. */
interface CardPhoto {
  /** Its name in the session's folder. */
  readonly file: string;
  /** The name it came with. */
  readonly cameFrom: string;
  /** Null while it waits for its turn. */
  readonly verdict: Verdict | null;
  /** Whether it goes into the measurement. */
  readonly used: boolean;
}

/** One shot to take, or taken. */
export interface Card {
  readonly id: string;
  readonly shot: Shot;
  readonly photo: CardPhoto | null;
  /** The builder does without it. */
  readonly leftOut: boolean;
}

/** A bench session in the browser. */
export interface Bench {
  readonly id: string;
  /** Milliseconds since 1970. */
  readonly changed: number;
  readonly form: ArrayForm;
  readonly tone: Tone;
  readonly cards: readonly Card[];
  /** When it was thrown away; it goes for good a while later. */
  readonly thrownAway: number | null;
}

/** Whether a card waits for its photo. */
export const isOpen = (card: Card): boolean => card.photo === null && !card.leftOut;

/** Shots that go into the measurement. */
export function usedShots(cards: readonly Card[]): Shot[] {
  return cards.flatMap(({ photo, shot }) =>
    photo?.used && photo.verdict !== null ? [{ ...shot, photo: photo.file }] : [],
  );
}

const stem = (name: string) =>
  name
    .replace(/^.*[/\\]/, '')
    .replace(/\.\w+$/, '')
    .toLowerCase();

/** The name a photo gets in the session's folder: the shot's, with the ending the photo came with. */
export function fileNameFor(shot: Shot, cameFrom: string, taken: ReadonlySet<string>): string {
  const ending = /\.\w{1,5}$/.exec(cameFrom)?.[0].toLowerCase() ?? '.jpg';
  const base = shot.photo.replace(/\.\w+$/, '');
  for (let n = 1; ; n++) {
    const name = n === 1 ? `${base}${ending}` : `${base}-take-${n}${ending}`;
    if (!taken.has(name)) return name;
  }
}

/**
 * The cards that photos belong to: by their names where a card asks for just that name, else one after another from the
 * current card on.
 *
 * @param names - of the photos, in the order in which they came
 * @param current - id of the card that is asked for now
 * @returns one id a photo; null where no card is left
 */
export function cardsFor(
  names: readonly string[],
  cards: readonly Card[],
  current: string | null,
): (string | null)[] {
  const free = new Map(cards.filter(isOpen).map((card) => [card.id, card]));
  // A card may be picked that has a photo already: then that one is shot again.
  const picked = cards.find((card) => card.id === current);
  if (picked) free.set(picked.id, picked);
  const answers: (string | null)[] = names.map((name) => {
    const named = [...free.values()].find((card) => stem(card.shot.photo) === stem(name));
    if (named) free.delete(named.id);
    return named?.id ?? null;
  });
  const start = Math.max(
    0,
    cards.findIndex((card) => card.id === current),
  );
  const inOrder = [...cards.slice(start), ...cards.slice(0, start)].filter((card) => free.has(card.id));
  return answers.map((answer) => answer ?? inOrder.shift()?.id ?? null);
}
