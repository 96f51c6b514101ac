import {
  type ArraySpec,
  arrayFromFields,
  criterionFromText,
  InputError,
  lengthText,
  parseExposureS,
  parseLengthMm,
  type Session,
  type TubeWall,
} from '@twolamp/session';

/** What the builder types about the array and the bench, as typed. */
export interface ArrayForm {
  readonly name: string;
  readonly arrangement: 'square' | 'hexagonal';
  readonly shiftedRows: 'odd' | 'even';
  readonly rows: string;
  readonly columns: string;
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
}

/** Fields that hold text as typed. */
export type TextKey = Exclude<keyof ArrayForm, 'statedWall'>;

export const EMPTY_FORM: ArrayForm = {
  name: '',
  arrangement: 'square',
  shiftedRows: 'even',
  rows: '',
  columns: '',
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

export const ARRAY_FIELDS: readonly Field[] = [
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
    key: 'tubeLength',
    label: 'Length of a tube',
    hint: 'front end to back end',
    kind: 'mm',
    required: true,
    example: '150 mm',
  },
  {
    key: 'tubeBore',
    label: 'Bore',
    hint: 'inner diameter',
    kind: 'mm',
    required: true,
    example: '2.6 mm',
  },
  {
    key: 'backPitch',
    label: 'Pitch at the sheet',
    hint: 'centre to centre, at the back',
    kind: 'mm',
    required: true,
    example: '3 mm',
  },
  {
    key: 'frontPitch',
    label: 'Pitch at the front',
    hint: 'centre to centre, at the front grid',
    kind: 'mm',
    required: true,
    example: '4.2 mm',
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

const ALL_FIELDS = [...ARRAY_FIELDS, ...BENCH_FIELDS, ...EXPOSURE_FIELDS];
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
      return Number.isInteger(count) && count >= 2 && count <= 500
        ? null
        : 'Give a whole number from 2 to 500.';
    }
    case 'f-number':
      return Number(text) > 0 ? null : `Give the f-number alone, for example ${example}.`;
    case 'time':
      return (parseExposureS(withUnit(text, kind)) ?? 0) > 0
        ? null
        : `Give a time in seconds, for example ${example} or 1/8 s.`;
    default:
      return (parseLengthMm(withUnit(text, kind)) ?? 0) > 0
        ? null
        : `Give a length above zero with its unit (mm, cm, m, in or ft), for example ${example}.`;
  }
}

/** Troubles by field; empty where every field can be read. */
export function formTroubles(form: ArrayForm): Partial<Record<TextKey, string>> {
  const troubles: Partial<Record<TextKey, string>> = {};
  for (const field of ALL_FIELDS) {
    const trouble = fieldTrouble(field, form);
    if (trouble !== null) troubles[field.key] = trouble;
  }
  return troubles;
}

/** Where messages say that an error is. */
export const FORM = 'the form';

/**
 * The array as the formats hold it.
 * @throws InputError where fields don't go together
 */
function arrayOf(form: ArrayForm): ArraySpec {
  return arrayFromFields(
    {
      name: form.name.trim(),
      arrangement: form.arrangement,
      'shifted-rows': form.arrangement === 'hexagonal' ? form.shiftedRows : undefined,
      rows: Number(form.rows),
      columns: Number(form.columns),
      'tube-length': withUnit(form.tubeLength, 'mm'),
      'tube-bore': withUnit(form.tubeBore, 'mm'),
      'tube-wall': form.tubeWall === '' ? (form.statedWall ?? undefined) : form.tubeWall,
      'back-pitch': withUnit(form.backPitch, 'mm'),
      'front-pitch': withUnit(form.frontPitch, 'mm'),
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

/**
 * The form of a session that was read from a file.
 * @throws InputError for a packed array, which the page has no fields for
 */
export function formOf({ array, criterion, lampDiameterMm, shots }: Session): ArrayForm {
  if (array.arrangement === 'packed') {
    throw new InputError(
      FORM,
      'the session is of a packed array',
      'an array with rows and columns; packed ones are measured with the command measure',
    );
  }
  const wall = array.tubeWall;
  const pair = shots.find((shot) => shot.kind === 'pair');
  const farthest = Math.max(0, ...shots.map((shot) => ('distanceMm' in shot ? shot.distanceMm : 0)));
  return {
    ...EMPTY_FORM,
    name: array.name,
    arrangement: array.arrangement,
    shiftedRows: array.shiftedRows ?? 'even',
    rows: String(array.rows),
    columns: String(array.columns),
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
