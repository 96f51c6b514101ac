import { type ArrayForm, EMPTY_FORM, formOf } from '../../bench/array-form.js';
import type { Bench, Card } from '../../bench/bench.js';
import { cardOf, newId } from '../../bench/cards.js';
import type { BenchStore } from '../../store/database.js';
import { type FolderFile, readFolder } from '../../store/folder.js';
import type { Table } from './table.js';

/** The benches that this browser keeps, and how one gets onto the table. */
export class Shelf {
  readonly #table: Table;
  readonly #store: BenchStore;
  readonly #lay: (bench: Bench) => void;

  /** @param lay - lays a bench on the table */
  constructor(table: Table, store: BenchStore, lay: (bench: Bench) => void) {
    this.#table = table;
    this.#store = store;
    this.#lay = lay;
  }

  /** Reads what is kept, destroys what was thrown away long enough ago, and lays the bench on the table that was last. */
  async start(id: string | null): Promise<void> {
    for (const bench of await this.#store.list()) {
      if (bench.thrownAway !== null) await this.#store.destroy(bench.id);
    }
    await this.refresh();
    if (id !== null) this.open(id);
  }

  async refresh(): Promise<void> {
    const all = await this.#store.list();
    const earlier = all
      .filter(({ thrownAway }) => thrownAway === null)
      // Benches that an earlier version of the page kept lack what the form has since got.
      .map((bench) => ({ ...bench, form: { ...EMPTY_FORM, ...bench.form } }));
    this.#table.set({ earlier });
  }

  #find(id: string): Bench | undefined {
    return this.#table.state.earlier?.find((one) => one.id === id);
  }

  open(id: string): void {
    const bench = this.#find(id);
    if (bench) this.#lay(bench);
  }

  begin(form: ArrayForm = EMPTY_FORM): void {
    const bench: Bench = {
      id: newId(),
      changed: Date.now(),
      form,
      tone: 'srgb',
      cards: [],
      thrownAway: null,
    };
    this.#lay(bench);
    this.#table.save(bench);
  }

  throwAway(id: string): void {
    const bench = this.#find(id);
    if (!bench) return;
    const mark = (thrownAway: number | null) =>
      this.#store.save({ ...bench, thrownAway }).then(() => this.refresh());
    mark(Date.now());
    this.#table.offerUndo({
      says: `${bench.form.name || 'The bench'} is thrown away, with its photos.`,
      undo: () => mark(null),
    });
  }

  /**
   * Lays a session's folder on the table as a bench of its own.
   * @throws InputError where there is no session.yaml, or it can't be read
   */
  async take(files: readonly FolderFile[]): Promise<void> {
    const { session, photos } = await readFolder(files);
    const id = newId();
    const cards = session.shots.map((shot): Card => {
      const photo = photos.has(shot.photo)
        ? { file: shot.photo, cameFrom: shot.photo, verdict: null, used: true }
        : null;
      return { ...cardOf(shot), photo };
    });
    for (const [name, blob] of photos) await this.#store.putFile(id, name, blob);
    const bench: Bench = {
      id,
      changed: Date.now(),
      form: formOf(session),
      tone: session.tone,
      cards,
      thrownAway: null,
    };
    await this.#store.save(bench);
    this.#lay(bench);
  }
}
