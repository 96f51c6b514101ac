import type { FirstLook } from '@twolamp/cells';
import type { TextKey } from '../../bench/array-form.js';
import { type Bench, type Card, isOpen } from '../../bench/bench.js';
import type { Conclusion } from '../../worker/measured.js';
import type { PlanAnswer } from '../../worker/plan-worker.js';

/** Something that can be taken back for a while. */
export interface Undo {
  readonly says: string;
  readonly undo: () => void;
}

/** Work with its count, to be shown while it lasts. */
interface Busy {
  readonly what: string;
  readonly done: number;
  readonly of: number;
}

export interface DeskState {
  /** Earlier benches, latest first; null while they are read. */
  readonly earlier: readonly Bench[] | null;
  readonly bench: Bench | null;
  readonly troubles: Partial<Record<TextKey, string>>;
  /** What is wrong with the form as a whole, or the room; null where it can be planned. */
  readonly formTrouble: string | null;
  readonly plan: PlanAnswer | null;
  readonly planning: boolean;
  /** Card that the builder picked; null: the first that waits. */
  readonly picked: string | null;
  readonly looking: Busy | null;
  readonly concluding: Busy | null;
  /** Whether figures are being drawn. */
  readonly drawing: boolean;
  /** The even shot while it is being measured. */
  readonly firstLook: FirstLook | null;
  readonly conclusion: Conclusion | null;
  /** What stands in the way of figures; null where nothing does. */
  readonly trouble: string | null;
  /** Card whose photo was looked at last. */
  readonly last: string | null;
  readonly undo: Undo | null;
  readonly message: string | null;
}

export const EMPTY: DeskState = {
  earlier: null,
  bench: null,
  troubles: {},
  formTrouble: null,
  plan: null,
  planning: false,
  picked: null,
  looking: null,
  concluding: null,
  drawing: false,
  firstLook: null,
  conclusion: null,
  trouble: null,
  last: null,
  undo: null,
  message: null,
};

/** The card that is asked for now. */
export function currentCard({ bench, picked }: DeskState): Card | null {
  if (bench === null) return null;
  return bench.cards.find(({ id }) => id === picked) ?? bench.cards.find(isOpen) ?? null;
}
