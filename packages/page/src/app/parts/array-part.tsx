import { type Plan, TELLS } from '@twolamp/plan';
import type { JSX } from 'preact';
import {
  type ArrayForm,
  arrayFields,
  BENCH_FIELDS,
  EXPOSURE_FIELDS,
  type Field,
  setupOf,
  withUnit,
} from '../../bench/array-form.js';
import type { Desk } from '../desk/desk.js';
import { ArrayDrawing } from './array-drawing.js';
import { focusNext } from './focus.js';
import { MapEditor } from './map-editor.js';
import { Prediction } from './prediction.js';
import { useDesk } from './use-desk.js';

interface LineProps {
  readonly field: Field;
  readonly desk: Desk;
}

/** One field: complaints wait until something was typed or the field was left. */
function Line({ field, desk }: LineProps): JSX.Element {
  const { bench, troubles } = useDesk(desk);
  const id = `field-${field.key}`;
  const value = bench?.form[field.key] ?? '';
  const trouble = value === '' ? undefined : troubles[field.key];
  // A bare number is read with a unit, which is told while it can be changed.
  const read = withUnit(value, field.kind);
  const hint = read === value.trim().replace(',', '.') ? field.hint : `${read}, ${field.hint}`;
  return (
    <div class={`line ${field.kind}`}>
      <label for={id}>{field.label}</label>
      <input
        id={id}
        value={value}
        placeholder={field.example}
        inputMode={field.kind === 'count' ? 'numeric' : undefined}
        autocomplete="off"
        aria-describedby={`${id}-hint`}
        aria-invalid={trouble ? 'true' : undefined}
        onInput={({ currentTarget }) => desk.planning.edit({ [field.key]: currentTarget.value })}
      />
      <span id={`${id}-hint`} class={trouble ? 'trouble' : 'hint'}>
        {trouble ?? hint}
      </span>
    </div>
  );
}

interface ChoiceProps<K extends keyof ArrayForm> {
  readonly desk: Desk;
  readonly name: K;
  readonly label: string;
  readonly hint: string;
  readonly options: readonly (readonly [value: ArrayForm[K] & string, says: string])[];
}

function Choice<K extends keyof ArrayForm>({
  desk,
  name,
  label,
  hint,
  options,
}: ChoiceProps<K>): JSX.Element {
  const { bench } = useDesk(desk);
  const id = `field-${name}`;
  return (
    <div class="line choice">
      <label for={id}>{label}</label>
      <select
        id={id}
        aria-describedby={`${id}-hint`}
        value={bench?.form[name] as string}
        onChange={({ currentTarget }) =>
          desk.planning.edit({ [name]: currentTarget.value } as Partial<ArrayForm>)
        }
      >
        {options.map(([value, says]) => (
          <option key={value} value={value}>
            {says}
          </option>
        ))}
      </select>
      <span id={`${id}-hint`} class="hint">
        {hint}
      </span>
    </div>
  );
}

const lines = (fields: readonly Field[], desk: Desk) =>
  fields.map((field) => <Line key={field.key} field={field} desk={desk} />);

interface ListChoiceProps {
  readonly desk: Desk;
  readonly plan: Plan;
  readonly started: boolean;
}

/** The two lists of shots to choose from. */
function ListChoice({ desk, plan, started }: ListChoiceProps): JSX.Element {
  const lists = [
    { name: 'evening', title: 'The short evening' },
    { name: 'thorough', title: 'The thorough session' },
  ] as const;
  return (
    <>
      <h3>{started ? 'Another shot list' : 'What to shoot'}</h3>
      {started && <p class="note">Photos taken already stay with their shots.</p>}
      <ul class="lists">
        {lists.map(({ name, title }) => (
          <li key={name}>
            <button
              type="button"
              class={name === 'evening' ? 'strong' : ''}
              onClick={() => {
                desk.shots.takePlan(name);
                focusNext('shoot-title');
              }}
            >
              {title}: {plan[name].session.shots.length} photos
            </button>
            <span>{TELLS[name]}</span>
          </li>
        ))}
      </ul>
    </>
  );
}

/** Step 1: the array, drawn as it is typed, and what to expect of it. */
export function ArrayPart({ desk }: { desk: Desk }): JSX.Element | null {
  const { bench, troubles, formTrouble, plan, planning } = useDesk(desk);
  if (bench === null) return null;
  const { form, cards } = bench;
  const waiting = Object.keys(troubles).length;
  let array = null;
  try {
    array = waiting === 0 ? setupOf(form).array : null;
  } catch {
    // What doesn't go together is said beside the form.
  }
  const fields = arrayFields(form);
  const started = cards.length > 0;
  return (
    <section id="array" aria-labelledby="array-title">
      <details open={!started}>
        <summary>
          <h2 id="array-title">Your array</h2>
          {started && (
            <span class="dimensions">
              {form.arrangement === 'packed' ? form.tubes : `${form.rows} × ${form.columns}`} tubes,{' '}
              {withUnit(form.tubeLength, 'mm')} long, bore {withUnit(form.tubeBore, 'mm')}
            </span>
          )}
        </summary>
        <div class="array">
          <form class="lines" onSubmit={(event) => event.preventDefault()}>
            <fieldset>
              <legend>The tubes</legend>
              {lines(fields.slice(0, 1), desk)}
              <Choice
                desk={desk}
                name="arrangement"
                label="Arrangement"
                hint="seen from the back"
                options={[
                  ['square', 'square'],
                  ['hexagonal', 'hexagonal'],
                  ['packed', 'packed, without rows and columns'],
                ]}
              />
              {form.arrangement === 'hexagonal' && (
                <Choice
                  desk={desk}
                  name="shiftedRows"
                  label="Shifted rows"
                  hint="half a pitch to the right, seen from the back"
                  options={[
                    ['even', 'even: rows 2, 4, 6 …'],
                    ['odd', 'odd: rows 1, 3, 5 …'],
                  ]}
                />
              )}
              {lines(fields.slice(1), desk)}
              <Choice
                desk={desk}
                name="tubeWall"
                label="Inside of the tubes"
                hint={form.statedWall ? 'as the session’s file states it' : 'where you know it'}
                options={[
                  ['', form.statedWall ? 'as stated' : 'not known'],
                  ['matte black', 'matte black'],
                  ['glossy black', 'glossy black'],
                ]}
              />
              <MapEditor desk={desk} />
            </fieldset>
            <fieldset>
              <legend>The bench</legend>
              {lines(BENCH_FIELDS, desk)}
              <Choice
                desk={desk}
                name="criterion"
                label="Separate means"
                hint="how much darker it must be between the lamps"
                options={[
                  ['rayleigh', 'Rayleigh (0.265)'],
                  ['sparrow', 'Sparrow (any dip)'],
                  ...(['rayleigh', 'sparrow'].includes(form.criterion)
                    ? []
                    : ([[form.criterion, `a dip of ${form.criterion}`]] as const)),
                ]}
              />
              {lines(EXPOSURE_FIELDS, desk)}
            </fieldset>
          </form>
          <div class="predicted">
            <ArrayDrawing form={form} />
            <div aria-live="polite" aria-busy={planning}>
              {formTrouble && <p class="trouble">This doesn’t go together: {formTrouble}.</p>}
              {waiting > 0 && (
                <p class="note">
                  {waiting === 1 ? 'One figure' : `${waiting} figures`} still missing or not readable; then
                  the bench predicts how far two lamps stay separate.
                </p>
              )}
              {array && plan && <Prediction answer={plan} />}
              {planning && !plan && <p class="note">Tracing light through the tubes: about 3 s …</p>}
            </div>
            {plan && <ListChoice desk={desk} plan={plan.plan} started={started} />}
          </div>
        </div>
      </details>
    </section>
  );
}
