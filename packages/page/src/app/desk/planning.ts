import {
  type ArrayForm,
  FORM,
  formTroubles,
  isInputError,
  knownExposure,
  roomOf,
  setupOf,
} from '../../bench/array-form.js';
import type { Workers } from '../workers.js';
import type { Figures } from './figures.js';
import type { Table } from './table.js';

/** Typing pauses for this long before the plan is made anew. */
const TYPING_PAUSE_MS = 400;

/** The array as it is typed, and the plan that follows it. */
export class Planning {
  readonly #table: Table;
  readonly #workers: Workers;
  readonly #figures: Figures;
  #typing: ReturnType<typeof setTimeout> | undefined;

  constructor(table: Table, workers: Workers, figures: Figures) {
    this.#table = table;
    this.#workers = workers;
    this.#figures = figures;
  }

  edit(change: Partial<ArrayForm>): void {
    const { bench } = this.#table.state;
    if (bench === null) return;
    const form = { ...bench.form, ...change };
    this.#table.change({ form });
    this.#table.set({ troubles: formTroubles(form) });
    clearTimeout(this.#typing);
    this.#typing = setTimeout(() => {
      this.plan();
      this.#figures.want();
    }, TYPING_PAUSE_MS);
  }

  async plan(): Promise<void> {
    const table = this.#table;
    const { bench, troubles } = table.state;
    if (bench === null) return;
    if (Object.keys(troubles).length > 0) {
      table.set({ plan: null, planning: false, formTrouble: null });
      return;
    }
    const { form } = bench;
    const isStill = () => table.state.bench?.form === form;
    try {
      const { array, criterion } = setupOf(form);
      const known = knownExposure(form);
      table.set({ planning: true, formTrouble: null });
      const request = { array, criterion, ...roomOf(form), ...(known ? { known } : {}) };
      const plan = await this.#workers.plan().plan(request, FORM);
      if (isStill()) table.set({ plan, planning: false });
    } catch (error) {
      if (!isInputError(error) && !(error instanceof RangeError)) throw error;
      const says = error.message.replace(`${FORM}: `, '');
      if (isStill()) table.set({ plan: null, planning: false, formTrouble: says });
    }
  }
}
