import {
  type ArraySpec,
  arrayFromFields,
  criterionFromText,
  InputError,
  lengthText,
  MOST_PACKED,
  parseExposureS,
  parseLengthMm,
  PLAUSIBLE,
  type Session,
  type TubeWall,
} from '@twolamp/session';
import { mapLines } from './array-map.js';

/** What the builder types about the array and the bench, as typed. */
export interface ArrayForm {
  readonly name: string;
  readonly arrangement: 'square' | 'hexagonal' | 'packed';
  readonly shiftedRows: 'odd' | 'even';
  readonly rows: string;
  readonly columns: string;
  /** Packed only: how many. */
  readonly tubes: string;
  readonly tubeLength: string;
  readonly tubeBore: string;
  readonly tubeWall: '' | 'glossy black' | 'matte black';
  readonly backPitch: string;
  readonly frontPitch: string;
  readonly spacing: string;
  readonly room: string;
  readonly lampDiameter: string;
  readonly criterion: string;
  readonly lens: string;
  readonly exposure: string;
  /** A wall given by its figures in a file; the form has no fields for it and keeps it. */
  readonly statedWall: Exclude<TubeWall, string> | null;
  /** Which places have a tube, one line a row; empty where all have. */
  readonly map: string;
  readonly unfilled: '' | 'covered' | 'open';
  /** From a file; kept as {@link statedWall}. */
  readonly cellKind: 'cell-screen' | null;
  readonly minutesPerTube: number | null;
}

/** Fields that hold text as typed. */
export type TextKey = Exclude<keyof ArrayForm, 'statedWall' | 'cellKind' | 'minutesPerTube'>;

export const EMPTY_FORM: ArrayForm = {
  name: '',
  arrangement: 'square',
  shiftedRows: 'even',
  rows: '',
  columns: '',
  tubes: '',
  tubeLength: '',
  tubeBore: '',
  tubeWall: '',
  backPitch: '',
  frontPitch: '',
  spacing: '60 mm',
  room: '4 m',
  lampDiameter: '',
  criterion: 'rayleigh',
  lens: '',
  exposure: '',
  statedWall: null,
  map: '',
  unfilled: '',
  cellKind: null,
  minutesPerTube: null,
};

/** One line of the form. */
export interface Field {
  readonly key: TextKey;
  readonly label: string;
  readonly hint: string;
  readonly kind: 'text' | 'count' | 'mm' | 'm' | 'f-number' | 'time';
  readonly required: boolean;
  /** What may stand there, shown while it is empty. */
  readonly example: string;
}

const ARRAY_FIELDS: readonly Field[] = [
  {
    key: 'name',
    label: 'Name',
    hint: 'what you call it',
    kind: 'text',
    required: true,
    example: 'Reed panel, first build',
  },
  {
    key: 'rows',
    label: 'Rows',
    hint: 'from top to bottom',
    kind: 'count',
    required: true,
    example: '24',
  },
  {
    key: 'columns',
    label: 'Columns',
    hint: 'tubes in a row',
    kind: 'count',
    required: true,
    example: '30',
  },
  {
    key: 'tubes',
    label: 'Tubes',
    hint: 'as counted or estimated',
    kind: 'count',
    required: true,
    example: '240',
  },
  {
    key: 'tubeLength',
    label: 'Length of a tube',
    hint: 'front end to back end',
    kind: 'mm',
    required: true,
    example: '190 mm',
  },
  {
    key: 'tubeBore',
    label: 'Bore',
    hint: 'inner diameter',
    kind: 'mm',
    required: true,
    example: '3.2 mm',
  },
  {
    key: 'backPitch',
    label: 'Pitch at the sheet',
    hint: 'centre to centre, at the back',
    kind: 'mm',
    required: true,
    example: '3.7 mm',
  },
  {
    key: 'frontPitch',
    label: 'Pitch at the front',
    hint: 'centre to centre, at the front grid',
    kind: 'mm',
    required: true,
    example: '4.6 mm',
  },
];

export const BENCH_FIELDS: readonly Field[] = [
  {
    key: 'spacing',
    label: 'Between the two lamps',
    hint: 'centre to centre',
    kind: 'mm',
    required: true,
    example: '60 mm',
  },
  {
    key: 'room',
    label: 'Room in front of the array',
    hint: 'farthest place of a lamp from the front face',
    kind: 'm',
    required: true,
    example: '4 m',
  },
  {
    key: 'lampDiameter',
    label: 'Width of a lamp',
    hint: 'across the part that shines; may stay empty',
    kind: 'mm',
    required: false,
    example: '6 mm',
  },
];

export const EXPOSURE_FIELDS: readonly Field[] = [
  {
    key: 'lens',
    label: 'A lens you know',
    hint: 'its f-number, to predict exposures; may stay empty',
    kind: 'f-number',
    required: false,
    example: '8',
  },
  {
    key: 'exposure',
    label: 'Its exposure',
    hint: 'of a scene like the one you have in mind',
    kind: 'time',
    required: false,
    example: '180 s',
  },
];

/** What only arrays with rows and columns have, and what only packed ones. */
const ON_GRID: readonly TextKey[] = ['rows', 'columns'];
const PACKED: readonly TextKey[] = ['tubes'];

/** The array's fields, as its arrangement has them. */
export function arrayFields({ arrangement }: ArrayForm): Field[] {
  if (arrangement !== 'packed') return ARRAY_FIELDS.filter(({ key }) => !PACKED.includes(key));
  return ARRAY_FIELDS.filter(({ key }) => !ON_GRID.includes(key)).map((field) => {
    if (field.key === 'backPitch') return { ...field, hint: 'a tube’s outer diameter, where they touch' };
    if (field.key === 'frontPitch')
      return { ...field, hint: 'as at the sheet where it stays empty', required: false };
    return field;
  });
}
const BARE_NUMBER = /^[+-]?(?:\d+[.,]?\d*|[.,]\d+)$/;

/** A length or time as typed; a bare number has the unit that stands beside the field. */
export function withUnit(text: string, kind: Field['kind']): string {
  const trimmed = text.trim().replace(',', '.');
  const unit = kind === 'mm' || kind === 'm' ? kind : kind === 'time' ? 's' : '';
  return BARE_NUMBER.test(trimmed) && unit !== '' ? `${trimmed} ${unit}` : trimmed;
}

/** What is wrong with one field as it stands, in a sentence with what to do; null where nothing is. */
function fieldTrouble({ key, kind, required, example }: Field, form: ArrayForm): string | null {
  const text = form[key].trim();
  if (text === '') return required ? `Fill this in, for example ${example}.` : null;
  switch (kind) {
    case 'text':
      return null;
    case 'count': {
      const count = Number(text);
      const [least, mostInLine] = PLAUSIBLE.tubes.possible;
      const most = PACKED.includes(key) ? MOST_PACKED : mostInLine;
      return Number.isInteger(count) && count >= least && count <= most
        ? null
        : `Give a whole number from ${least} to ${most}.`;
    }
    case 'f-number':
      return Number(text) > 0 ? null : `Give the f-number alone, for example ${example}.`;
    case 'time':
      return (parseExposureS(withUnit(text, kind)) ?? 0) > 0
        ? null
        : `Give a time in seconds, for example ${example} or 1/8 s.`;
    default: {
      const mm = parseLengthMm(withUnit(text, kind)) ?? -1;
      // A lamp may be a point.
      return mm > 0 || (mm === 0 && key === 'lampDiameter')
        ? null
        : `Give a length above zero with its unit (mm, cm, m, in or ft), for example ${example}.`;
    }
  }
}

/** Troubles by field; empty where every field can be read. */
export function formTroubles(form: ArrayForm): Partial<Record<TextKey, string>> {
  const troubles: Partial<Record<TextKey, string>> = {};
  for (const field of [...arrayFields(form), ...BENCH_FIELDS, ...EXPOSURE_FIELDS]) {
    const trouble = fieldTrouble(field, form);
    if (trouble !== null) troubles[field.key] = trouble;
  }
  return troubles;
}

/** Where messages say that an error is. */
export const FORM = 'the form';

function gridOf({
  arrangement,
  shiftedRows,
  rows,
  columns,
  map,
  unfilled,
}: ArrayForm): Record<string, unknown> {
  const lines = mapLines(map);
  return {
    'shifted-rows': arrangement === 'hexagonal' ? shiftedRows : undefined,
    rows: Number(rows),
    columns: Number(columns),
    map: lines === null ? undefined : `${lines.join('\n')}\n`,
    unfilled: lines === null || unfilled === '' ? undefined : unfilled,
  };
}

/**
 * The array as the formats hold it.
 * @throws InputError where fields don't go together
 */
function arrayOf(form: ArrayForm): ArraySpec {
  return arrayFromFields(
    {
      name: form.name.trim(),
      kind: form.cellKind ?? undefined,
      arrangement: form.arrangement,
      ...(form.arrangement === 'packed' ? { tubes: Number(form.tubes) } : gridOf(form)),
      'tube-length': withUnit(form.tubeLength, 'mm'),
      'tube-bore': withUnit(form.tubeBore, 'mm'),
      'tube-wall': form.tubeWall === '' ? (form.statedWall ?? undefined) : form.tubeWall,
      'back-pitch': withUnit(form.backPitch, 'mm'),
      'front-pitch': form.frontPitch.trim() === '' ? undefined : withUnit(form.frontPitch, 'mm'),
      'minutes-per-tube': form.minutesPerTube ?? undefined,
    },
    FORM,
  );
}

/** The bench beside the array: what the session and the plan need of it. */
export interface BenchSetup {
  readonly array: ArraySpec;
  readonly criterion: Session['criterion'];
  readonly lampDiameterMm: number | null;
}

/** @throws InputError as `arrayOf`, and for the criterion */
export function setupOf(form: ArrayForm): BenchSetup {
  return {
    array: arrayOf(form),
    criterion: criterionFromText(form.criterion, FORM),
    lampDiameterMm: form.lampDiameter.trim() === '' ? null : parseLengthMm(withUnit(form.lampDiameter, 'mm')),
  };
}

/** Spacing and room in mm. */
export function roomOf(form: ArrayForm): { spacingMm: number; roomMm: number } {
  return {
    spacingMm: parseLengthMm(withUnit(form.spacing, 'mm'))!,
    roomMm: parseLengthMm(withUnit(form.room, 'm'))!,
  };
}

/** The exposure a builder knows, or undefined. */
export function knownExposure(form: ArrayForm): { fNumber: number; exposureS: number } | undefined {
  const fNumber = Number(form.lens);
  const exposureS = parseExposureS(withUnit(form.exposure, 'time'));
  return fNumber > 0 && exposureS !== null && exposureS > 0 ? { fNumber, exposureS } : undefined;
}

/** The form of a session that was read from a file. */
export function formOf({ array, criterion, lampDiameterMm, shots }: Session): ArrayForm {
  const isPacked = array.arrangement === 'packed';
  const wall = array.tubeWall;
  const pair = shots.find((shot) => shot.kind === 'pair');
  const farthest = Math.max(0, ...shots.map((shot) => ('distanceMm' in shot ? shot.distanceMm : 0)));
  return {
    ...EMPTY_FORM,
    name: array.name,
    arrangement: array.arrangement,
    shiftedRows: array.shiftedRows ?? 'even',
    rows: isPacked ? '' : String(array.rows),
    columns: isPacked ? '' : String(array.columns),
    tubes: array.tubes === undefined ? '' : String(array.tubes),
    map: array.map?.join('\n') ?? '',
    unfilled: array.unfilled ?? '',
    cellKind: array.kind ?? null,
    minutesPerTube: array.minutesPerTube ?? null,
    tubeLength: lengthText(array.tubeLengthMm),
    tubeBore: lengthText(array.tubeBoreMm),
    tubeWall: wall === 'glossy black' || wall === 'matte black' ? wall : '',
    statedWall: typeof wall === 'object' ? wall : null,
    backPitch: lengthText(array.backPitchMm),
    frontPitch: lengthText(array.frontPitchMm),
    spacing: pair ? lengthText(pair.spacingMm) : EMPTY_FORM.spacing,
    room: farthest > 0 ? lengthText(farthest) : EMPTY_FORM.room,
    lampDiameter: lampDiameterMm === null ? '' : lengthText(lampDiameterMm),
    criterion: criterion.name,
  };
}

/** Whether an error is one that the builder can mend; comlink carries an error's name, not its class. */
export function isInputError(error: unknown): error is Error {
  return error instanceof InputError || (error instanceof Error && error.name === 'InputError');
}
