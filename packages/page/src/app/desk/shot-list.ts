import type { Shot } from '@twolamp/session';
import { type Card, isOpen } from '../../bench/bench.js';
import { cardOf, cardsOfPlan, withCard } from '../../bench/cards.js';
import { currentCard } from './desk-state.js';
import type { Figures } from './figures.js';
import type { Table } from './table.js';

/** The cards: which shots there are, and which is asked for now. */
export class ShotList {
  readonly #table: Table;
  readonly #figures: Figures;

  constructor(table: Table, figures: Figures) {
    this.#table = table;
    this.#figures = figures;
  }

  /** Lays out the cards of one of the plan's lists; photos taken already stay. */
  takePlan(list: 'evening' | 'thorough'): void {
    const { bench, plan } = this.#table.state;
    if (bench === null || plan === null) return;
    this.#table.change({ cards: cardsOfPlan(plan.plan[list].session.shots, bench.cards) });
    this.pick(null);
  }

  /** The card that is asked for now. */
  current(): Card | null {
    return currentCard(this.#table.state);
  }

  pick(id: string | null): void {
    this.#table.set({ picked: id });
  }

  editShot(id: string, shot: Shot): void {
    this.#table.changeCard(id, { shot });
    this.#figures.want();
  }

  addShot(shot: Shot): void {
    const { bench } = this.#table.state;
    if (bench === null) return;
    const names = new Set(bench.cards.map((card) => card.shot.photo.replace(/\.\w+$/, '')));
    let n = 1;
    while (names.has(`${shot.kind}-${String(n).padStart(2, '0')}`)) n++;
    const card = cardOf({ ...shot, photo: `${shot.kind}-${String(n).padStart(2, '0')}.jpg` });
    this.#table.change({ cards: withCard(bench.cards, card) });
    this.pick(card.id);
  }

  /** Asks for a pair at a distance: in place of the next one that waits, or as a shot of its own. */
  askForPair(distanceMm: number): void {
    const pairs = (this.#table.state.bench?.cards ?? []).flatMap((card) =>
      card.shot.kind === 'pair' ? [{ card, shot: card.shot }] : [],
    );
    const waiting = pairs.find(({ card }) => isOpen(card));
    const like = waiting ?? pairs.at(-1);
    if (like === undefined) return;
    const shot = { ...like.shot, distanceMm };
    if (waiting === undefined) {
      this.addShot(shot);
    } else {
      this.editShot(waiting.card.id, shot);
      this.pick(waiting.card.id);
    }
  }

  leaveOut(ids: readonly string[], leftOut: boolean): void {
    const { bench } = this.#table.state;
    if (bench === null) return;
    this.#table.change({
      cards: bench.cards.map((card) => (ids.includes(card.id) ? { ...card, leftOut } : card)),
    });
    this.pick(null);
  }
}
