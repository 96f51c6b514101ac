import { type Bench, type Card, cardsFor, fileNameFor, usedShots, type Verdict } from '../../bench/bench.js';
import { sessionOf } from '../../bench/session-of.js';
import type { BenchStore } from '../../store/database.js';
import type { Workers } from '../workers.js';
import { currentCard } from './desk-state.js';
import type { Figures } from './figures.js';
import type { Table } from './table.js';

/** A photo as it came: dropped, chosen, or taken by a camera. */
export interface CameIn {
  readonly name: string;
  readonly blob: Blob;
}

/** Photos on their way in: each goes to its card and waits for its first look. */
export class Photos {
  readonly #table: Table;
  readonly #store: BenchStore;
  readonly #workers: Workers;
  readonly #figures: Figures;
  /** Cards whose photos wait for their first look. */
  #queue: string[] = [];
  #queued = 0;
  /** Told of every card whose photo has been looked at. */
  readonly #watchers = new Set<(card: Card) => void>();

  constructor(table: Table, store: BenchStore, workers: Workers, figures: Figures) {
    this.#table = table;
    this.#store = store;
    this.#workers = workers;
    this.#figures = figures;
  }

  /** Photos as they come; each goes to the card that asks for it. */
  async add(photos: readonly CameIn[]): Promise<string[]> {
    const { bench } = this.#table.state;
    if (bench === null) return [];
    const names = photos.map(({ name }) => name);
    const ids = cardsFor(names, bench.cards, currentCard(this.#table.state)?.id ?? null);
    const left: string[] = [];
    const given: string[] = [];
    for (const [i, { name, blob }] of photos.entries()) {
      const id = ids[i];
      const card = id === null || id === undefined ? undefined : this.#table.card(id);
      if (card === undefined) {
        left.push(name);
        continue;
      }
      const cards = this.#table.state.bench?.cards ?? [];
      const taken = new Set(cards.flatMap(({ photo }) => photo?.file ?? []));
      const file = fileNameFor(card.shot, name, taken);
      await this.#store.putFile(bench.id, file, blob);
      this.#table.changeCard(card.id, {
        leftOut: false,
        photo: { file, cameFrom: name, verdict: null, used: true },
      });
      given.push(card.id);
      this.enqueue(card.id);
    }
    this.#table.set({ picked: null });
    if (left.length > 0) {
      this.#table.set({
        message: `No shot asks for ${left.join(', ')}. Add a shot of your own first, then its photo.`,
      });
    }
    return given;
  }

  /** Photos that came in together, in the order in which they were taken; of their names where one doesn't say when. */
  async addTogether(photos: readonly CameIn[]): Promise<void> {
    const byName = photos.toSorted((a, b) => a.name.localeCompare(b.name, 'en', { numeric: true }));
    const order = byName.length < 2 ? null : await this.#workers.look().orderTaken(byName);
    await this.add(order?.map((at) => byName[at]!) ?? byName);
  }

  /**
   * One photo, and what the first look at it tells; null where no card asks for it.
   */
  async addOne(photo: CameIn): Promise<Card | null> {
    const looked = new Map<string, Card>();
    let wake: () => void = () => {};
    const watcher = (card: Card) => {
      looked.set(card.id, card);
      wake();
    };
    this.#watchers.add(watcher);
    try {
      const [id] = await this.add([photo]);
      if (id === undefined) return null;
      while (!looked.has(id)) await new Promise<void>((resolve) => (wake = resolve));
      return looked.get(id)!;
    } finally {
      this.#watchers.delete(watcher);
    }
  }

  /** Takes a photo off its card. */
  takeOff(id: string): void {
    const card = this.#table.card(id);
    const { bench } = this.#table.state;
    if (!card?.photo || bench === null) return;
    const { photo } = card;
    this.#table.changeCard(id, { photo: null });
    this.#workers.look().forget(bench.id, photo.file);
    this.#figures.want();
    // The file stays in the storage until the bench goes, so that this can be taken back.
    this.#table.offerUndo({
      says: `${photo.cameFrom} is removed from its shot.`,
      undo: () => {
        this.#table.changeCard(id, { photo: { ...photo, verdict: null } });
        this.enqueue(id);
      },
    });
  }

  /** Whether a photo counts, against what the first look advises. */
  use(id: string, used: boolean): void {
    const card = this.#table.card(id);
    if (!card?.photo) return;
    this.#table.changeCard(id, { photo: { ...card.photo, used } });
    this.#figures.want();
  }

  /** A card whose photo should be looked at. */
  enqueue(id: string): void {
    const { looking } = this.#table.state;
    const idle = this.#queue.length === 0 && looking === null;
    this.#queue.push(id);
    this.#queued = idle ? 1 : this.#queued + 1;
    if (looking) this.#table.set({ looking: { ...looking, of: this.#queued } });
    if (idle) this.#lookAtAll();
  }

  /** Photos that wait are looked at when their bench is opened again. */
  clear(): void {
    this.#queue = [];
  }

  async #lookAtAll(): Promise<void> {
    for (;;) {
      const id = this.#queue.shift();
      const card = id === undefined ? undefined : this.#table.card(id);
      const { bench } = this.#table.state;
      if (id === undefined || bench === null) break;
      if (!card?.photo) continue;
      const done = this.#queued - this.#queue.length - 1;
      this.#table.set({ looking: { what: card.photo.cameFrom, done, of: this.#queued } });
      const verdict = await this.#look(bench, card);
      const now = this.#table.card(id);
      if (!now?.photo || now.photo.file !== card.photo.file || this.#table.state.bench?.id !== bench.id)
        continue;
      const used = !verdict.faults.some(({ spoils }) => spoils);
      this.#table.changeCard(id, { photo: { ...now.photo, verdict, used } });
      this.#table.set({ last: id });
      if (card.shot.kind === 'even' && used && this.#table.state.conclusion === null) {
        this.#table.set({ firstLook: await this.#workers.look().firstLook(bench.id) });
      }
      for (const watcher of this.#watchers) watcher(this.#table.card(id)!);
      this.#figures.want();
    }
    this.#table.set({ looking: null });
  }

  async #look(bench: Bench, card: Card): Promise<Verdict> {
    const file = card.photo!.file;
    const cards = this.#table.state.bench?.cards ?? [];
    const shots = usedShots(cards).filter(({ photo }) => photo !== file);
    const shot = { ...card.shot, photo: file };
    try {
      return await this.#workers.look().look(bench.id, sessionOf(bench, [...shots, shot]), shot);
    } catch (error) {
      return {
        widthPx: 0,
        heightPx: 0,
        exposureS: null,
        faults: [
          {
            spoils: true,
            says: `the page failed on it (${(error as Error).message}): please report this, and try the photo as a JPEG`,
          },
        ],
      };
    }
  }
}
