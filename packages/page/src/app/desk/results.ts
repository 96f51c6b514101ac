import { usedShots } from '../../bench/bench.js';
import { sessionOf, sessionText } from '../../bench/session-of.js';
import type { BenchStore } from '../../store/database.js';
import type { FolderFile } from '../../store/folder.js';
import { madeFrom } from '../../store/made.js';
import type { Workers } from '../workers.js';
import type { Table } from './table.js';

/** The bench as files. */
export class Results {
  readonly #table: Table;
  readonly #store: BenchStore;
  readonly #workers: Workers;

  constructor(table: Table, store: BenchStore, workers: Workers) {
    this.#table = table;
    this.#store = store;
    this.#workers = workers;
  }

  /**
   * The folder that the command line reads: session.yaml, the photos that count, and what was measured.
   * @throws InputError where the form can't be read
   */
  async folder(): Promise<FolderFile[]> {
    const given = await this.#given();
    const measured = Object.entries(await this.#measuredFrom(given));
    return [
      ...given,
      ...measured.map(([name, text]) => ({ path: `measured/${name}`, blob: new Blob([text]) })),
    ];
  }

  /**
   * The files that come of the measurement, the report among them; none before there are figures.
   * @throws InputError where the form can't be read
   */
  async measured(): Promise<Record<string, string>> {
    return this.#measuredFrom(await this.#given());
  }

  /** session.yaml first, then the photos that count. */
  async #given(): Promise<FolderFile[]> {
    const { bench } = this.#table.state;
    if (bench === null) return [];
    const shots = usedShots(bench.cards);
    const files: FolderFile[] = [
      { path: 'session.yaml', blob: new Blob([sessionText(sessionOf(bench, shots))]) },
    ];
    for (const { photo } of shots) {
      const blob = await this.#store.file(bench.id, photo);
      if (blob !== undefined) files.push({ path: photo, blob });
    }
    return files;
  }

  async #measuredFrom([session, ...photos]: readonly FolderFile[]): Promise<Record<string, string>> {
    const { bench, conclusion } = this.#table.state;
    if (bench === null || conclusion === null || session === undefined) return {};
    const even = conclusion.result.photos.find(({ kind }) => kind === 'even');
    const picture = even ? await this.#workers.look().picture(bench.id, even.photo) : null;
    const result = { ...conclusion.result, made: await madeFrom(session, photos) };
    return this.#workers.conclude().files(result, { ...conclusion.evidence, picture });
  }
}
