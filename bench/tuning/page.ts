import type { TunedFolder, TunedNumber } from './numbers.js';

/** What is known of one number: what it moves, and which tests notice when it changes. */
export interface Found {
  /** The value that this was found for. */
  readonly value: TunedNumber['value'];
  /** What it moves in the sessions by each factor; '' for nothing. */
  readonly moves?: Readonly<Record<string, string>>;
  /** The test that fails first by each factor; '' for none. */
  readonly tests?: Readonly<Record<string, string>>;
}

/** By folder and name. */
export type AllFound = Record<string, Found>;

const NAMES: Readonly<Record<string, string>> = {
  '1.5': '× 1.5',
  [String(1 / 1.5)]: '÷ 1.5',
  '20': '× 20',
  '0.05': '÷ 20',
};

/** What is known of a number as it stands now; nothing where it has changed since. */
export function foundOf(all: AllFound, folder: string, { name, value }: TunedNumber): Found {
  const found = all[`${folder} ${name}`];
  return found && JSON.stringify(found.value) === JSON.stringify(value) ? found : { value };
}

/** Joins what is the same for several factors. */
function told(byFactor: Readonly<Record<string, string>>, word: (text: string) => string): string {
  const texts = [...new Set(Object.values(byFactor))].filter((text) => text !== '');
  return texts
    .map((text) => {
      const factors = Object.keys(byFactor).filter((factor) => byFactor[factor] === text);
      return `${factors.map((factor) => NAMES[factor]).join(', ')}: ${word(text)}`;
    })
    .join('. ');
}

function effect({ moves, tests }: Found): string {
  const moved = told(moves ?? {}, (text) => text);
  const noticed = told(tests ?? {}, (text) => `${text} notices`);
  if (moved || noticed) return [moved, noticed].filter((text) => text !== '').join('. ');
  if (tests) return moves ? 'nothing; no test of its users notices' : 'no test of its users notices';
  return moves ? 'nothing' : 'not varied yet';
}

function valueText(value: TunedNumber['value']): string {
  if (typeof value === 'number') return String(Number(value.toPrecision(6)));
  return value.length > 8
    ? `${valueText(value[0])} to ${valueText(value.at(-1)!)}, ${value.length} values`
    : value.map(valueText).join(', ');
}

function rowsOf(found: AllFound, { folder, groups }: TunedFolder): string {
  return groups
    .map(({ name: group, about, numbers }) => {
      const rows = numbers.map((number) => {
        const name = group ? number.name.slice(group.length + 1) : number.name;
        const says = number.about || '″';
        return `| \`${name}\` | ${valueText(number.value)} | ${says.replaceAll('|', '\\|')} | ${effect(foundOf(found, folder, number))} |`;
      });
      const head = group ? `\`${group}\`${about ? `: ${about}` : ''}\n\n` : '';
      return `${head}| number | value | what it is | what it moves |\n|---|---|---|---|\n${rows.join('\n')}\n`;
    })
    .join('\n');
}

/** The page that lists all tuned numbers, as Markdown. */
export function page(folders: readonly TunedFolder[], found: AllFound): string {
  const count = folders.flatMap(({ groups }) => groups.flatMap(({ numbers }) => numbers)).length;
  const parts = folders.map(
    (one) => `## ${one.folder}\n\n${one.about ? `${one.about}\n\n` : ''}${rowsOf(found, one)}`,
  );
  return `# Tuned numbers

All ${count} numbers that were tuned or judged, by folder. Made by \`node bench/dist/tuning/main.js\` from the files \`tuning.ts\` and
from \`tuning/found.json\`, which keeps what was found; don't edit.

The last column says what changes when the number alone changes by a factor 1.5 either way, in small sessions made from the plans in
\`tuning/sessions\`: for \`places\`, \`flux\` and \`cells\` the light and place of every cell (\`photos\`; packed tubes: \`packed\`), u a light's noise or a hundredth of a
pitch; for \`consistency\` what the check tells, for \`resolving\` and \`measure\` every figure of the result, u its standard uncertainty (\`sweep\`, \`few\`). Told are the
figure that moved most; the uncertainty that changed most, from a factor 1.05 on; how many figures come or go; which faults and findings do. A change below
0.1 u is none. A number that so moves nothing was changed by a factor 20, in the sessions or in those tests of its package that come to it by imports.
Tests of whole sessions (\`test/hard-to-break\`) weren't asked. Most of these guard against photos and statements
that are wrong, which none of the sessions has. Small sessions with few lamps stand on an edge: a change of directions by 1 or 2 u there
may come from a tube that is fitted otherwise.

″ stands for the words above it. "Synthetic sessions" are those of bench/accuracy; sessions of bench/peers were looked at afterwards only, unless it
says otherwise. Tolerances and facts with a source aren't here but where they are used.

${parts.join('\n')}`;
}
