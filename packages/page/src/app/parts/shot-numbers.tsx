import {
  exposureText,
  lengthText,
  parseAngleDeg,
  parseExposureS,
  parseLengthMm,
  type Shot,
} from '@twolamp/session';
import type { JSX } from 'preact';
import { useState } from 'preact/hooks';
import { withUnit } from '../../bench/array-form.js';
import type { Card } from '../../bench/bench.js';
import type { Desk } from '../desk/desk.js';

interface NumberField {
  readonly label: string;
  readonly text: string;
  /** The shot with what was typed; null where it can't be read. */
  readonly read: (text: string) => Shot | null;
  readonly expected: string;
}

const LENGTH = 'a length with its unit, for example 1.8 m';

function lengthField<S extends Shot>(
  shot: S,
  key: keyof S & string,
  label: string,
  sign: 'any' | 'positive',
): NumberField {
  return {
    label,
    text: lengthText(shot[key] as number),
    expected: LENGTH,
    read(text) {
      const mm = parseLengthMm(withUnit(text, 'mm'));
      return mm === null || (sign === 'positive' && mm <= 0) ? null : { ...shot, [key]: mm };
    },
  };
}

function countField<S extends Shot>(shot: S, key: keyof S & string, label: string): NumberField {
  return {
    label,
    text: String(shot[key]),
    expected: 'a whole number from 1',
    read(text) {
      const count = Number(text);
      return Number.isInteger(count) && count >= 1 ? { ...shot, [key]: count } : null;
    },
  };
}

function placeFields(shot: Shot): NumberField[] {
  switch (shot.kind) {
    case 'pair':
      return [
        lengthField(shot, 'distanceMm', 'Distance', 'positive'),
        lengthField(shot, 'spacingMm', 'Between the lamps', 'positive'),
        lengthField(shot, 'acrossMm', 'Middle across', 'any'),
        lengthField(shot, 'upMm', 'Middle up', 'any'),
        {
          label: 'Turned',
          text: `${shot.turnedDeg} deg`,
          expected: 'an angle, 0 deg for side by side, 90 deg for one above the other',
          read(text) {
            const angle = parseAngleDeg(/deg\s*$/.test(text) ? text : `${text} deg`);
            return angle === null ? null : { ...shot, turnedDeg: angle };
          },
        },
      ];
    case 'lamp':
      return [
        lengthField(shot, 'distanceMm', 'Distance', 'positive'),
        lengthField(shot, 'acrossMm', 'Across', 'any'),
        lengthField(shot, 'upMm', 'Up', 'any'),
      ];
    case 'single':
      if (shot.row === 0) return []; // packed tubes have neither
      return [countField(shot, 'row', 'Row'), countField(shot, 'column', 'Column')];
    default:
      return [];
  }
}

/** The exposure as stated over the photo's own; an empty field leaves it to the photo. */
function exposureField(shot: Shot): NumberField {
  return {
    label: 'Exposure, if the photo doesn’t say',
    text: shot.stated.exposureS === undefined ? '' : exposureText(shot.stated.exposureS),
    expected: 'a time, for example 1/8 s',
    read(text) {
      const { exposureS: _, ...stated } = shot.stated;
      if (text.trim() === '') return { ...shot, stated };
      const seconds = parseExposureS(withUnit(text, 'time'));
      return seconds !== null && seconds > 0 ? { ...shot, stated: { ...stated, exposureS: seconds } } : null;
    },
  };
}

function Entry({
  field,
  id,
  onShot,
}: {
  field: NumberField;
  id: string;
  onShot: (shot: Shot) => void;
}): JSX.Element {
  const [text, setText] = useState(field.text);
  const wrong = field.read(text) === null;
  return (
    <div class="line">
      <label for={id}>{field.label}</label>
      <input
        id={id}
        value={text}
        autocomplete="off"
        aria-invalid={wrong ? 'true' : undefined}
        aria-describedby={wrong ? `${id}-wrong` : undefined}
        onInput={({ currentTarget }) => {
          setText(currentTarget.value);
          const shot = field.read(currentTarget.value);
          if (shot) onShot(shot);
        }}
      />
      {wrong && (
        <span class="trouble" id={`${id}-wrong`}>
          Give {field.expected}.
        </span>
      )}
    </div>
  );
}

/** The shot's numbers as they really came out. */
export function ShotNumbers({ desk, card }: { desk: Desk; card: Card }): JSX.Element {
  const places = placeFields(card.shot);
  const entry = (field: NumberField) => (
    <Entry
      key={field.label}
      field={field}
      id={`shot-${field.label.replaceAll(/\W/g, '-').toLowerCase()}`}
      onShot={(shot) => desk.shots.editShot(card.id, shot)}
    />
  );
  return (
    <details class="numbers" open={places.length > 0}>
      <summary>{places.length > 0 ? 'As the tape reads' : 'Exposure'}</summary>
      <div class="lines">
        {places.map(entry)}
        {entry(exposureField(card.shot))}
      </div>
    </details>
  );
}
