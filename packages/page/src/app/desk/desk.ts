import { formTroubles } from '../../bench/array-form.js';
import type { Bench } from '../../bench/bench.js';
import type { BenchStore } from '../../store/database.js';
import type { Workers } from '../workers.js';
import type { DeskState } from './desk-state.js';
import { Figures } from './figures.js';
import { Photos } from './photos.js';
import { Planning } from './planning.js';
import { Results } from './results.js';
import { Shelf } from './shelf.js';
import { ShotList } from './shot-list.js';
import { Table } from './table.js';

/**
 * The bench that lies on the table, and all that can be done with it. Components show its state and call its parts;
 * files, threads and storage are handled here alone.
 */
export class Desk {
  readonly #table: Table;
  readonly #figures: Figures;
  readonly shelf: Shelf;
  readonly planning: Planning;
  readonly shots: ShotList;
  readonly photos: Photos;
  readonly results: Results;

  constructor(store: BenchStore, workers: Workers) {
    const table = new Table(store);
    this.#table = table;
    this.#figures = new Figures(table, workers);
    this.shelf = new Shelf(table, store, (bench) => this.#lay(bench));
    this.planning = new Planning(table, workers, this.#figures);
    this.shots = new ShotList(table, this.#figures);
    this.photos = new Photos(table, store, workers, this.#figures);
    this.results = new Results(table, store, workers);
  }

  get state(): DeskState {
    return this.#table.state;
  }

  subscribe(listener: () => void): () => void {
    return this.#table.subscribe(listener);
  }

  /** Shows a message until it is closed; null takes it away. */
  say(message: string | null): void {
    this.#table.set({ message });
  }

  #lay(bench: Bench): void {
    this.photos.clear();
    this.#table.clear(bench);
    this.#table.set({ troubles: formTroubles(bench.form) });
    this.planning.plan();
    for (const { id, photo } of bench.cards) {
      if (photo !== null && photo.verdict === null) this.photos.enqueue(id);
    }
    this.#figures.want();
  }

  /** Back to the list of benches. */
  putAway(): void {
    this.photos.clear();
    this.#table.clear(null);
    this.shelf.refresh();
  }
}
