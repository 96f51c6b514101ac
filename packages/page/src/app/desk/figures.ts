import type { Session } from '@twolamp/session';
import { proxy } from 'comlink';
import { isInputError } from '../../bench/array-form.js';
import { usedShots } from '../../bench/bench.js';
import { sessionOf } from '../../bench/session-of.js';
import type { Workers } from '../workers.js';
import type { Table } from './table.js';

/** The figures that the shots so far give. */
export class Figures {
  readonly #table: Table;
  readonly #workers: Workers;
  #wanted = false;
  /** Not the state's: that is cleared where another bench is laid out meanwhile. */
  #drawing = false;

  constructor(table: Table, workers: Workers) {
    this.#table = table;
    this.#workers = workers;
  }

  /** Draws the figures anew as soon as the last drawing is done. */
  want(): void {
    this.#wanted = true;
    if (!this.#drawing) this.#draw();
  }

  async #draw(): Promise<void> {
    this.#drawing = true;
    this.#table.set({ drawing: true });
    while (this.#wanted) {
      this.#wanted = false;
      await this.#drawOnce();
    }
    this.#drawing = false;
    this.#table.set({ drawing: false });
  }

  async #drawOnce(): Promise<void> {
    const table = this.#table;
    const { bench } = table.state;
    if (bench === null) return;
    const shots = usedShots(bench.cards);
    if (!shots.some(({ kind }) => kind === 'even')) {
      table.set({ firstLook: null, conclusion: null, trouble: null });
      return;
    }
    const isStill = () => table.state.bench?.id === bench.id;
    try {
      const session = sessionOf(bench, shots);
      const told = proxy((done: number, of: number, what: string) => {
        table.set({ concluding: { what, done, of } });
      });
      const survey = await this.#workers.look().survey(bench.id, session, told);
      if (survey === null) return;
      table.set({ concluding: { what: '', done: shots.length, of: shots.length } });
      const conclusion = await this.#workers.conclude().conclude(session, survey, this.#firstPairM(session));
      if (!isStill()) return;
      table.set({ conclusion, trouble: null });
      this.#workers.look().keep(bench.id);
    } catch (error) {
      const says = isInputError(error)
        ? error.message
        : `The figures failed (${(error as Error).message}). Please report this, with the folder saved as a zip.`;
      if (isStill()) table.set({ trouble: says });
    } finally {
      table.set({ concluding: null });
    }
  }

  #firstPairM({ shots, array }: Session): number {
    const planned = this.#table.state.plan?.plan.evening.expected[0]?.distanceMm;
    const shot = shots.find((one) => one.kind === 'pair');
    return (planned ?? shot?.distanceMm ?? 5 * array.tubeLengthMm) / 1000;
  }
}
