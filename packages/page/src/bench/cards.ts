import { walkingOrder } from '@twolamp/plan';
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
  return inWalkingOrder([...kept, ...fresh.map(cardOf)]);
}

export function inWalkingOrder(cards: readonly Card[]): Card[] {
  const byShot = new Map<ShotDraft, Card>(cards.map((card) => [card.shot, card]));
  return walkingOrder(cards.map(({ shot }) => shot)).map((shot) => byShot.get(shot)!);
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
