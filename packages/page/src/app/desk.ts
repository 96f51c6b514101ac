import { proxy } from 'comlink';
import type { Shot, Session } from '@twolamp/session';
import {
  type ArrayForm,
  EMPTY_FORM,
  FORM,
  formOf,
  formTroubles,
  isInputError,
  knownExposure,
  roomOf,
  setupOf,
  type TextKey,
} from '../bench/array-form.js';
import {
  type Bench,
  type Card,
  cardsFor,
  fileNameFor,
  isOpen,
  usedShots,
  type Verdict,
} from '../bench/bench.js';
import { cardOf, cardsOfPlan, newId, withCard } from '../bench/cards.js';
import { sessionOf, sessionText } from '../bench/session-of.js';
import type { BenchStore } from '../store/database.js';
import { type FolderFile, readFolder } from '../store/folder.js';
import { madeFrom } from '../store/made.js';
import type { Conclusion } from '../worker/measured.js';
import type { PlanAnswer } from '../worker/plan-worker.js';
import type { Workers } from './workers.js';

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
  readonly conclusion: Conclusion | null;
  /** What stands in the way of figures; null where nothing does. */
  readonly trouble: string | null;
  /** Card whose photo was looked at last. */
  readonly last: string | null;
  readonly undo: Undo | null;
  readonly message: string | null;
}

const EMPTY: DeskState = {
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
  conclusion: null,
  trouble: null,
  last: null,
  undo: null,
  message: null,
};

/** Typing pauses for this long before the plan is made anew. */
const TYPING_PAUSE_MS = 400;
/** What was thrown away can be taken back for this long, and is destroyed on the next visit after. */
const UNDO_MS = 20_000;

/** A photo as it came: dropped, chosen, or taken by a camera. */
export interface CameIn {
  readonly name: string;
  readonly blob: Blob;
}

/**
 * The bench that lies on the table, and all that can be done with it. Components show its state and call its methods;
 * files, threads and storage are handled here alone.
 */
export class Desk {
  #state: DeskState = EMPTY;
  readonly #listeners = new Set<() => void>();
  readonly #store: BenchStore;
  readonly #workers: Workers;
  #typing: ReturnType<typeof setTimeout> | undefined;
  #undoing: ReturnType<typeof setTimeout> | undefined;
  /** Cards whose photos wait for their first look. */
  #queue: string[] = [];
  #queued = 0;
  #figuresWanted = false;
  #drawing = false;
  #watchers: ((card: Card) => void)[] = [];

  constructor(store: BenchStore, workers: Workers) {
    this.#store = store;
    this.#workers = workers;
  }

  get state(): DeskState {
    return this.#state;
  }

  subscribe(listener: () => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  /** Told of every card whose photo has been looked at. */
  onVerdict(watcher: (card: Card) => void): () => void {
    this.#watchers.push(watcher);
    return () => {
      this.#watchers = this.#watchers.filter((one) => one !== watcher);
    };
  }

  #set(change: Partial<DeskState>): void {
    this.#state = { ...this.#state, ...change };
    for (const listener of this.#listeners) listener();
  }

  /** Changes the bench and keeps it. */
  #change(change: Partial<Bench>): void {
    const { bench } = this.#state;
    if (bench === null) return;
    const next = { ...bench, ...change, changed: Date.now() };
    this.#set({ bench: next });
    this.#save(next);
  }

  #save(bench: Bench): void {
    this.#store.save(bench).catch((error: Error) => {
      this.#set({
        message: `The browser couldn’t keep the last change (${error.message}). Save the folder as a zip now, then make room on the disk.`,
      });
    });
  }

  /** Reads what is kept, destroys what was thrown away long enough ago, and lays the bench on the table that was last. */
  async start(id: string | null): Promise<void> {
    const all = await this.#store.list();
    for (const bench of all) if (bench.thrownAway !== null) await this.#store.destroy(bench.id);
    const earlier = all.filter(({ thrownAway }) => thrownAway === null);
    this.#set({ earlier });
    const wanted = earlier.find((bench) => bench.id === id);
    if (wanted) this.#lay(wanted);
  }

  async #refreshEarlier(): Promise<void> {
    this.#set({ earlier: (await this.#store.list()).filter(({ thrownAway }) => thrownAway === null) });
  }

  #lay(bench: Bench): void {
    this.#queue = [];
    this.#set({
      ...EMPTY,
      earlier: this.#state.earlier,
      undo: this.#state.undo,
      bench,
      troubles: formTroubles(bench.form),
    });
    this.#plan();
    for (const card of bench.cards)
      if (card.photo !== null && card.photo.verdict === null) this.#enqueue(card.id);
    this.#wantFigures();
  }

  open(id: string): void {
    const bench = this.#state.earlier?.find((one) => one.id === id);
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
    this.#save(bench);
  }

  /** Back to the list of benches. */
  putAway(): void {
    this.#queue = [];
    this.#set({ ...EMPTY, earlier: this.#state.earlier, undo: this.#state.undo });
    this.#refreshEarlier();
  }

  throwAway(id: string): void {
    const bench = this.#state.earlier?.find((one) => one.id === id);
    if (!bench) return;
    const mark = (thrownAway: number | null) =>
      this.#store.save({ ...bench, thrownAway }).then(() => this.#refreshEarlier());
    mark(Date.now());
    this.#offerUndo({
      says: `${bench.form.name || 'The bench'} is thrown away, with its photos.`,
      undo: () => mark(null),
    });
  }

  #offerUndo(undo: Undo): void {
    clearTimeout(this.#undoing);
    const take = () => {
      this.#set({ undo: null });
      undo.undo();
    };
    this.#set({ undo: { says: undo.says, undo: take } });
    this.#undoing = setTimeout(() => this.#set({ undo: null }), UNDO_MS);
  }

  say(message: string | null): void {
    this.#set({ message });
  }

  edit(change: Partial<ArrayForm>): void {
    const { bench } = this.#state;
    if (bench === null) return;
    const form = { ...bench.form, ...change };
    this.#change({ form });
    this.#set({ troubles: formTroubles(form) });
    clearTimeout(this.#typing);
    this.#typing = setTimeout(() => {
      this.#plan();
      this.#wantFigures();
    }, TYPING_PAUSE_MS);
  }

  async #plan(): Promise<void> {
    const { bench, troubles } = this.#state;
    if (bench === null) return;
    if (Object.keys(troubles).length > 0) {
      this.#set({ plan: null, planning: false, formTrouble: null });
      return;
    }
    const { form } = bench;
    try {
      const { array, criterion } = setupOf(form);
      const known = knownExposure(form);
      this.#set({ planning: true, formTrouble: null });
      const request = { array, criterion, ...roomOf(form), ...(known ? { known } : {}) };
      const plan = await this.#workers.plan().plan(request, FORM);
      if (this.#state.bench?.form === form) this.#set({ plan, planning: false });
    } catch (error) {
      if (!isInputError(error) && !(error instanceof RangeError)) throw error;
      const says = (error as Error).message.replace(`${FORM}: `, '');
      if (this.#state.bench?.form === form) this.#set({ plan: null, planning: false, formTrouble: says });
    }
  }

  /** Lays out the cards of one of the plan's lists; photos taken already stay. */
  takePlan(list: 'evening' | 'thorough'): void {
    const { bench, plan } = this.#state;
    if (bench === null || plan === null) return;
    this.#change({ cards: cardsOfPlan(plan.plan[list].session.shots, bench.cards) });
    this.#set({ picked: null });
  }

  /** The card that is asked for now. */
  current(): Card | null {
    const { bench, picked } = this.#state;
    if (bench === null) return null;
    return bench.cards.find(({ id }) => id === picked) ?? bench.cards.find(isOpen) ?? null;
  }

  pick(id: string | null): void {
    this.#set({ picked: id });
  }

  #card(id: string): Card | undefined {
    return this.#state.bench?.cards.find((card) => card.id === id);
  }

  #changeCard(id: string, change: Partial<Card>): void {
    const { bench } = this.#state;
    if (bench === null) return;
    this.#change({ cards: bench.cards.map((card) => (card.id === id ? { ...card, ...change } : card)) });
  }

  editShot(id: string, shot: Shot): void {
    this.#changeCard(id, { shot });
    this.#wantFigures();
  }

  addShot(shot: Shot): void {
    const { bench } = this.#state;
    if (bench === null) return;
    const names = new Set(bench.cards.map((card) => card.shot.photo.replace(/\.\w+$/, '')));
    let n = 1;
    while (names.has(`${shot.kind}-${String(n).padStart(2, '0')}`)) n++;
    const card = cardOf({ ...shot, photo: `${shot.kind}-${String(n).padStart(2, '0')}.jpg` });
    this.#change({ cards: withCard(bench.cards, card) });
    this.#set({ picked: card.id });
  }

  leaveOut(ids: readonly string[], leftOut: boolean): void {
    const { bench } = this.#state;
    if (bench === null) return;
    this.#change({ cards: bench.cards.map((card) => (ids.includes(card.id) ? { ...card, leftOut } : card)) });
    this.#set({ picked: null });
  }

  /** Takes a photo off its card. */
  takeOff(id: string): void {
    const card = this.#card(id);
    const { bench } = this.#state;
    if (!card?.photo || bench === null) return;
    const { photo } = card;
    this.#changeCard(id, { photo: null });
    this.#workers.look().forget(bench.id, photo.file);
    this.#wantFigures();
    // The file stays in the storage until the bench goes, so that this can be taken back.
    this.#offerUndo({
      says: `${photo.cameFrom} is off its card.`,
      undo: () => {
        this.#changeCard(id, { photo: { ...photo, verdict: null } });
        this.#enqueue(id);
      },
    });
  }

  /** Whether a photo counts, against what the first look advises. */
  use(id: string, used: boolean): void {
    const card = this.#card(id);
    if (!card?.photo) return;
    this.#changeCard(id, { photo: { ...card.photo, used } });
    this.#wantFigures();
  }

  /** Photos as they come; each goes to the card that asks for it. */
  async add(photos: readonly CameIn[]): Promise<string[]> {
    const { bench } = this.#state;
    if (bench === null) return [];
    const ids = cardsFor(
      photos.map(({ name }) => name),
      bench.cards,
      this.current()?.id ?? null,
    );
    const left: string[] = [];
    const given: string[] = [];
    for (const [i, { name, blob }] of photos.entries()) {
      const id = ids[i];
      const card = id === null || id === undefined ? undefined : this.#card(id);
      if (card === undefined) {
        left.push(name);
        continue;
      }
      const taken = new Set(this.#state.bench?.cards.flatMap(({ photo }) => photo?.file ?? []) ?? []);
      const file = fileNameFor(card.shot, name, taken);
      await this.#store.putFile(bench.id, file, blob);
      this.#changeCard(card.id, {
        leftOut: false,
        photo: { file, cameFrom: name, verdict: null, used: true },
      });
      given.push(card.id);
      this.#enqueue(card.id);
    }
    this.#set({ picked: null });
    if (left.length > 0) {
      this.#set({
        message: `No shot asks for ${left.join(', ')}. Add a shot of your own first, then its photo.`,
      });
    }
    return given;
  }

  /**
   * One photo, and what the first look at it tells; null where no card asks for it.
   */
  async addOne(photo: CameIn): Promise<Card | null> {
    const looked = new Map<string, Card>();
    let wake: () => void = () => {};
    const off = this.onVerdict((card) => {
      looked.set(card.id, card);
      wake();
    });
    try {
      const [id] = await this.add([photo]);
      if (id === undefined) return null;
      while (!looked.has(id)) await new Promise<void>((resolve) => (wake = resolve));
      return looked.get(id)!;
    } finally {
      off();
    }
  }

  #enqueue(id: string): void {
    const idle = this.#queue.length === 0 && this.#state.looking === null;
    this.#queue.push(id);
    this.#queued = idle ? 1 : this.#queued + 1;
    const { looking } = this.#state;
    if (looking) this.#set({ looking: { ...looking, of: this.#queued } });
    if (idle) this.#lookAtAll();
  }

  async #lookAtAll(): Promise<void> {
    for (;;) {
      const id = this.#queue.shift();
      const card = id === undefined ? undefined : this.#card(id);
      const { bench } = this.#state;
      if (id === undefined || bench === null) break;
      if (!card?.photo) continue;
      const done = this.#queued - this.#queue.length - 1;
      this.#set({ looking: { what: card.photo.cameFrom, done, of: this.#queued } });
      const verdict = await this.#look(bench, card);
      const now = this.#card(id);
      if (!now?.photo || now.photo.file !== card.photo.file || this.#state.bench?.id !== bench.id) continue;
      const used = !verdict.faults.some(({ spoils }) => spoils);
      this.#changeCard(id, { photo: { ...now.photo, verdict, used } });
      this.#set({ last: id });
      for (const watcher of this.#watchers) watcher(this.#card(id)!);
      if (used) this.#wantFigures();
    }
    this.#set({ looking: null });
    this.#wantFigures();
  }

  async #look(bench: Bench, card: Card): Promise<Verdict> {
    const file = card.photo!.file;
    const shots = usedShots(this.#state.bench?.cards ?? []).filter(({ photo }) => photo !== file);
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

  /** Draws the figures anew as soon as the last drawing is done. */
  #wantFigures(): void {
    this.#figuresWanted = true;
    if (!this.#drawing) this.#drawFigures();
  }

  async #drawFigures(): Promise<void> {
    this.#drawing = true;
    this.#set({ drawing: true });
    while (this.#figuresWanted) {
      this.#figuresWanted = false;
      await this.#drawOnce();
    }
    this.#drawing = false;
    this.#set({ drawing: false });
  }

  async #drawOnce(): Promise<void> {
    const { bench } = this.#state;
    if (bench === null) return;
    const shots = usedShots(bench.cards);
    if (!shots.some(({ kind }) => kind === 'even')) {
      this.#set({ conclusion: null, trouble: null });
      return;
    }
    try {
      const session = sessionOf(bench, shots);
      const told = proxy((done: number, of: number, what: string) => {
        this.#set({ concluding: { what, done, of } });
      });
      const survey = await this.#workers.look().survey(bench.id, session, told);
      if (survey === null) return;
      this.#set({ concluding: { what: '', done: shots.length, of: shots.length } });
      const conclusion = await this.#workers.conclude().conclude(session, survey, this.#firstPairM(session));
      if (this.#state.bench?.id !== bench.id) return;
      this.#set({ conclusion, trouble: null });
      this.#workers.look().keep(bench.id);
    } catch (error) {
      const says = isInputError(error)
        ? error.message
        : `The figures failed (${(error as Error).message}). Please report this, with the folder saved as a zip.`;
      if (this.#state.bench?.id === bench.id) this.#set({ trouble: says });
    } finally {
      this.#set({ concluding: null });
    }
  }

  #firstPairM({ shots, array }: Session): number {
    const planned = this.#state.plan?.plan.evening.expected[0]?.distanceMm;
    const shot = shots.find((one) => one.kind === 'pair');
    return (planned ?? shot?.distanceMm ?? 5 * array.tubeLengthMm) / 1000;
  }

  /** Lays a session's folder on the table as a bench of its own. */
  async take(files: readonly FolderFile[]): Promise<void> {
    const { session, photos } = await readFolder(files);
    const id = newId();
    const cards = session.shots.map((shot): Card => {
      const blob = photos.get(shot.photo);
      const photo =
        blob === undefined ? null : { file: shot.photo, cameFrom: shot.photo, verdict: null, used: true };
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

  /**
   * The bench as the folder that the command line reads: session.yaml, the photos that count, and what was measured.
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

  /** The files that come of the measurement, the report among them; none before there are figures. */
  async measured(): Promise<Record<string, string>> {
    return this.#measuredFrom(await this.#given());
  }

  /** session.yaml first, then the photos that count. */
  async #given(): Promise<FolderFile[]> {
    const { bench } = this.#state;
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
    const { bench, conclusion } = this.#state;
    if (bench === null || conclusion === null || session === undefined) return {};
    const even = conclusion.result.photos.find(({ kind }) => kind === 'even');
    const picture = even ? await this.#workers.look().picture(bench.id, even.photo) : null;
    const result = { ...conclusion.result, made: await madeFrom(session, photos) };
    return this.#workers.conclude().files(result, { ...conclusion.evidence, picture });
  }
}
