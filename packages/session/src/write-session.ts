import { Document, type YAMLMap } from 'yaml';
import type { ArraySpec } from './array.js';
import { SESSION_FORMAT, type Shot, type Tone } from './session-format.js';

/** Line of a heading: what may be stated besides. */
export const LAMP_SIZE_HINT =
  'How wide the lamps are makes acceptance widths surer: add  lamp-diameter: 6 mm  (across the part that shines).';

/** Stands where a builder has to put a number; refused on reading until it is filled in. */
const FILL_IN = '___';

type Draft<T> = { readonly [K in keyof T]: T[K] | null };
type Known = 'photo' | 'kind' | 'stated';
type DraftOf<S> = S extends Shot
  ? Pick<S, Known> & Draft<Omit<S, Known>> & { readonly remark?: string }
  : never;

/** A shot of which some numbers may still be missing (null); the remark is written behind it. */
export type ShotDraft = DraftOf<Shot>;

/** What `writeSession` writes: a session, of which some numbers may still be missing (null). */
export interface SessionDraft {
  /** Lines of comment at the top. */
  readonly heading?: readonly string[];
  readonly array: Pick<ArraySpec, 'name'> & Draft<Omit<ArraySpec, 'name'>>;
  readonly criterion?: { readonly name: string };
  /** Null and left out: not stated. */
  readonly lampDiameterMm?: number | null;
  readonly tone?: Tone;
  readonly shots: readonly ShotDraft[];
}

/** Millimetres as a person writes them; metres from 1 m on, where that loses no digit. */
export function lengthText(mm: number): string {
  const metres = mm / 1000;
  return Math.abs(mm) >= 1000 && metres * 1000 === mm ? `${metres} m` : `${mm} mm`;
}

/** Seconds as cameras show them: 1/8 s, 2.5 s. */
export function exposureText(seconds: number): string {
  const parts = Math.round(1 / seconds);
  return parts > 1 && 1 / parts === seconds ? `1/${parts} s` : `${seconds} s`;
}

const length = (mm: number | null) => (mm === null ? `${FILL_IN} mm` : lengthText(mm));
const number = (value: number | null) => value ?? FILL_IN;

/** What to fill in, by field of the array. */
const ARRAY_HINTS: Record<string, string> = {
  arrangement: 'square, hexagonal or packed',
  'shifted-rows': 'which rows sit half a pitch to the right, seen from the back: odd or even',
  rows: 'how many rows, seen from the back',
  columns: 'how many tubes in a row',
  'tube-length': 'length of a tube',
  'tube-bore': 'inner diameter of a tube',
  'tube-wall': 'glossy black or matte black',
  'back-pitch': 'centre to centre at the sheet',
  'front-pitch': 'centre to centre at the front grid',
};

function arrayFields(array: SessionDraft['array']): Record<string, unknown> {
  const packed = array.arrangement === 'packed';
  return {
    name: array.name,
    ...(array.kind ? { kind: array.kind } : {}),
    arrangement: array.arrangement ?? FILL_IN,
    ...(array.shiftedRows === undefined ? {} : { 'shifted-rows': array.shiftedRows ?? FILL_IN }),
    ...(packed ? {} : { rows: number(array.rows), columns: number(array.columns) }),
    ...(array.tubes === undefined ? {} : { tubes: number(array.tubes) }),
    'tube-length': length(array.tubeLengthMm),
    'tube-bore': length(array.tubeBoreMm),
    ...(array.tubeWall === undefined ? {} : { 'tube-wall': array.tubeWall ?? FILL_IN }),
    'back-pitch': length(array.backPitchMm),
    'front-pitch': length(array.frontPitchMm),
    ...(array.map ? { map: `${array.map.join('\n')}\n` } : {}),
    ...(array.unfilled ? { unfilled: array.unfilled } : {}),
    ...(array.minutesPerTube ? { 'minutes-per-tube': array.minutesPerTube } : {}),
  };
}

function placeFields(shot: ShotDraft, packed: boolean): Record<string, unknown> {
  switch (shot.kind) {
    case 'lamp':
      return { across: length(shot.acrossMm), up: length(shot.upMm), distance: length(shot.distanceMm) };
    case 'pair':
      return {
        spacing: length(shot.spacingMm),
        distance: length(shot.distanceMm),
        turned: `${number(shot.turnedDeg)} deg`,
        across: length(shot.acrossMm),
        up: length(shot.upMm),
      };
    case 'single':
      return packed ? {} : { row: number(shot.row), column: number(shot.column) };
    default:
      return {};
  }
}

function shotFields(shot: ShotDraft, packed: boolean): Record<string, unknown> {
  const { exposureS, iso, aperture } = shot.stated;
  return {
    photo: shot.photo,
    kind: shot.kind,
    ...placeFields(shot, packed),
    ...(exposureS === undefined ? {} : { exposure: exposureText(exposureS) }),
    ...(iso === undefined ? {} : { iso }),
    ...(aperture === undefined ? {} : { aperture }),
  };
}

const missing = (value: unknown) => String(value).includes(FILL_IN);

/**
 * The text of a session.yaml, one shot a line.
 *
 * Numbers still missing (null) are written as `___` with a comment that says what to put there; `readSession`
 * refuses the file until that is done. A draft without any reads back as it was.
 */
export function writeSession(draft: SessionDraft): string {
  const array = arrayFields(draft.array);
  const document = new Document({
    format: SESSION_FORMAT,
    array,
    ...(draft.criterion === undefined ? {} : { criterion: criterionField(draft.criterion.name) }),
    ...(draft.lampDiameterMm == null ? {} : { 'lamp-diameter': lengthText(draft.lampDiameterMm) }),
    ...(draft.tone === undefined ? {} : { camera: { tone: draft.tone } }),
    shots: [],
  });
  if (draft.heading) document.commentBefore = draft.heading.map((line) => ` ${line}`).join('\n');
  for (const [field, value] of Object.entries(array)) {
    const node = document.getIn(['array', field], true) as YAMLMap;
    if (missing(value)) node.comment = ` fill in: ${ARRAY_HINTS[field]}`;
    if (typeof value === 'object') node.flow = true;
  }
  for (const shot of draft.shots) {
    const fields = shotFields(shot, draft.array.arrangement === 'packed');
    const node = document.createNode(fields, { flow: true });
    const remarks = [
      ...(shot.remark === undefined ? [] : [shot.remark]),
      ...(Object.values(fields).some(missing) ? [`fill in ${FILL_IN}`] : []),
    ];
    if (remarks.length > 0) node.comment = ` ${remarks.join('; ')}`;
    document.addIn(['shots'], node);
  }
  return document.toString({ lineWidth: 0 });
}

function criterionField(name: string): string | number {
  return Number.isNaN(Number(name)) ? name : Number(name);
}
