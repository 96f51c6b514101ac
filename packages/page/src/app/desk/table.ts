import type { Bench, Card } from '../../bench/bench.js';
import type { BenchStore } from '../../store/database.js';
import { type DeskState, EMPTY, type Undo } from './desk-state.js';

/** What was thrown away can be taken back for this long, and is destroyed on the next visit after. */
const UNDO_MS = 20_000;

/** The state that the page shows, told to whoever listens; the bench in it is kept in the storage. */
export class Table {
  #state: DeskState = EMPTY;
  readonly #listeners = new Set<() => void>();
  readonly #store: BenchStore;
  #undoing: ReturnType<typeof setTimeout> | undefined;

  constructor(store: BenchStore) {
    this.#store = store;
  }

  get state(): DeskState {
    return this.#state;
  }

  subscribe(listener: () => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  set(change: Partial<DeskState>): void {
    this.#state = { ...this.#state, ...change };
    for (const listener of this.#listeners) listener();
  }

  /** Another bench, or none: only the list of benches and what can be taken back stay as they are. */
  clear(bench: Bench | null): void {
    const { earlier, undo } = this.#state;
    this.set({ ...EMPTY, earlier, undo, bench });
  }

  /** Changes the bench and keeps it. */
  change(change: Partial<Bench>): void {
    const { bench } = this.#state;
    if (bench === null) return;
    const next = { ...bench, ...change, changed: Date.now() };
    this.set({ bench: next });
    this.save(next);
  }

  save(bench: Bench): void {
    this.#store.save(bench).catch((error: Error) => {
      this.set({
        message: `The browser couldn’t keep the last change (${error.message}). Save the folder as a zip now, then make room on the disk.`,
      });
    });
  }

  card(id: string): Card | undefined {
    return this.#state.bench?.cards.find((card) => card.id === id);
  }

  changeCard(id: string, change: Partial<Card>): void {
    const { bench } = this.#state;
    if (bench === null) return;
    this.change({ cards: bench.cards.map((card) => (card.id === id ? { ...card, ...change } : card)) });
  }

  offerUndo(undo: Undo): void {
    clearTimeout(this.#undoing);
    const take = () => {
      this.set({ undo: null });
      undo.undo();
    };
    this.set({ undo: { says: undo.says, undo: take } });
    this.#undoing = setTimeout(() => this.set({ undo: null }), UNDO_MS);
  }
}
