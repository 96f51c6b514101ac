import type { Shot, ShotDraft } from '@twolamp/session';
import type { Card } from './bench.js';

let made = 0;
/** A name that no other card of this browser has. */
export const newId = (): string => `${Date.now().toString(36)}-${(made++).toString(36)}`;

/** A shot whose numbers are all there. */
function complete(draft: ShotDraft): Shot {
  const { remark: _, ...shot } = draft;
  return shot as Shot; // a plan leaves nothing to be filled in
}

export function cardOf(shot: Shot): Card {
  return { id: newId(), shot, photo: null, leftOut: false };
}

/**
 * The cards of a new plan. Photos that were taken already stay, with their shots; of the plan's shots those come anew
 * that no photo has.
 */
export function cardsOfPlan(planned: readonly ShotDraft[], before: readonly Card[]): Card[] {
  const kept = before.filter(({ photo }) => photo !== null);
  const names = new Set(kept.map(({ shot }) => shot.photo.replace(/\.\w+$/, '')));
  const fresh = planned.map(complete).filter(({ photo }) => !names.has(photo.replace(/\.\w+$/, '')));
  return fresh.map(cardOf).reduce(withCard, kept);
}

/** The order in which kinds are shot: at the array first, then one walk away from it; the array comes away last. */
const STATIONS: readonly (readonly Shot['kind'][])[] = [
  ['dark'],
  ['even'],
  ['pair', 'lamp'],
  ['single'],
  ['bare'],
];

const station = ({ shot }: Card) => STATIONS.findIndex((kinds) => kinds.includes(shot.kind));
const distanceMm = ({ shot }: Card) => ('distanceMm' in shot ? shot.distanceMm : 0);

/** The cards with one more: after the last that is shot no later and stands no farther away. */
export function withCard(cards: readonly Card[], card: Card): Card[] {
  const before = (other: Card) =>
    station(other) < station(card) ||
    (station(other) === station(card) && distanceMm(other) <= distanceMm(card));
  const place = cards.findLastIndex(before) + 1;
  return cards.toSpliced(place, 0, card);
}

/** What cards of a kind are called, one and several. */
export const KIND_NAMES: Record<Shot['kind'], { readonly one: string; readonly many: string }> = {
  dark: { one: 'Dark', many: 'Dark' },
  even: { one: 'Even light', many: 'Even light' },
  pair: { one: 'Two lamps', many: 'Two lamps' },
  lamp: { one: 'One lamp', many: 'One lamp, place by place' },
  single: { one: 'One tube alone', many: 'One tube alone' },
  bare: { one: 'Bare sheet', many: 'Bare sheet' },
};
