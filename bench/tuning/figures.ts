import type { Survey } from '@twolamp/cells';
import type { checkSurvey } from '@twolamp/measure';
import type { Finding, Result } from '@twolamp/session';

type Consistency = ReturnType<typeof checkSurvey>;

/** A figure of a result with its standard uncertainty; null where it isn't known. */
interface Figure {
  readonly kind: string;
  readonly value: number | null;
  readonly sigma: number | null;
}

/** What a step of the measurement gives. */
export interface Given {
  readonly figures: readonly Figure[];
  /** Faults and findings, and photos left out. */
  readonly told: readonly string[];
}

/** 95 % interval of a normal distribution, in standard deviations. */
const INTERVAL_SIGMAS = 2 * 1.959963984540054;

/** A change below this share of a figure's uncertainty is none. */
const NOTICED = 0.1;
/** A change of an uncertainty below this factor is none. */
const NOTICED_UNCERTAINTY = 1.05;

const findingsTold = (findings: readonly Finding[]) =>
  findings.map(({ code, about }) => `${code} of ${JSON.stringify(about)}`);

/** All that a result states. */
export function givenByResult({ cells, pairs, resolving, crosstalk, wall, pull, findings }: Result): Given {
  const ofCells = cells.flatMap(
    ({ transmission, pointing, bend, cureShiftMm, crosstalk: leaves }): Figure[] => [
      {
        kind: 'relative transmission',
        value: transmission.relative,
        sigma: transmission.relativeUncertainty,
      },
      {
        kind: 'absolute transmission',
        value: transmission.absolute,
        sigma: transmission.absoluteUncertainty,
      },
      { kind: 'pointing', value: pointing?.acrossDeg ?? null, sigma: pointing?.uncertaintyDeg ?? null },
      { kind: 'pointing', value: pointing?.upDeg ?? null, sigma: pointing?.uncertaintyDeg ?? null },
      {
        kind: 'pointing error',
        value: pointing?.errorDeg ?? null,
        sigma: pointing?.errorUncertaintyDeg ?? null,
      },
      {
        kind: 'acceptance width',
        value: pointing?.acceptanceWidthDeg ?? null,
        sigma: pointing?.acceptanceWidthUncertaintyDeg ?? null,
      },
      { kind: 'bow', value: bend?.bowMm ?? null, sigma: bend?.uncertaintyMm ?? null },
      { kind: 'cure', value: cureShiftMm?.across ?? null, sigma: cureShiftMm?.uncertainty ?? null },
      { kind: 'crosstalk', value: leaves?.total ?? null, sigma: leaves?.totalUncertainty ?? null },
    ],
  );
  const ofPairs = pairs.flatMap((pair): Figure[] => [
    { kind: 'dip', value: pair.dip, sigma: pair.dipUncertainty },
    { kind: 'separation', value: pair.separationCells, sigma: pair.separationUncertainty },
  ]);
  const interval = resolving && resolving.lowM !== null && resolving.highM !== null;
  const figures = [
    ...ofCells,
    ...ofPairs,
    {
      kind: 'crosstalk',
      value: crosstalk?.meanTotal ?? null,
      sigma: crosstalk?.meanTotalUncertainty ?? null,
    },
    { kind: 'gloss', value: wall?.gloss ?? null, sigma: wall?.uncertainty ?? null },
    {
      kind: 'resolving distance',
      value: resolving?.distanceM ?? null,
      sigma: interval ? (resolving.highM! - resolving.lowM!) / INTERVAL_SIGMAS : null,
    },
    ...pull.slice(0, 1).flatMap(({ gain, gainUncertainty, dipGain, dipGainUncertainty }): Figure[] => [
      { kind: 'gain of light', value: gain, sigma: gainUncertainty },
      { kind: 'gain of dip', value: dipGain, sigma: dipGainUncertainty },
    ]),
  ];
  const faults = cells.flatMap(({ cell, fault }) => (fault === 'none' ? [] : [`${fault} of tube ${cell}`]));
  return { figures, told: [...faults, ...findingsTold(findings)] };
}

/** Change of a place that counts as its uncertainty, pitches. */
const PLACE_PITCHES = 0.01;

/** The light of every cell in every shot, in the uncertainty of its noise; that of figures is larger. */
export function givenBySurvey({ lit, bare, middles, cells, findings }: Survey): Given {
  const listed = (kind: string, values: Float64Array, sigma: (k: number) => number): Figure[] =>
    Array.from(values, (value, k) => ({ kind, value, sigma: sigma(k) }));
  const place = () => PLACE_PITCHES * cells.pitchPx;
  return {
    figures: [
      ...lit.flatMap(({ light: { flux, sigma } }) => listed('light', flux, (k) => sigma[k])),
      ...bare.flatMap(({ level, sigma }) => listed('bare sheet', level, (k) => sigma[k])),
      ...listed('place', middles.x, place),
      ...listed('place', middles.y, place),
    ],
    told: findingsTold(findings),
  };
}

/** Whether what is stated fits the photos. */
export function givenByCheck({ findings, leftOut }: Consistency): Given {
  return {
    figures: [],
    told: [...findingsTold(findings), ...[...leftOut].map((photo) => `left-out of ${photo}`)],
  };
}

/**
 * What a changed number moves of what the same sessions gave: the figure that moved most, in its own standard uncertainties u; the
 * uncertainty that changed most; how many figures changed; which faults and findings. Empty for nothing.
 */
export function movesBetween(before: readonly Given[], after: readonly Given[]): string {
  let most = { change: NOTICED, kind: '' };
  let uncertainty = { change: NOTICED_UNCERTAINTY, kind: '' };
  let known = 0;
  const told = new Set<string>();
  before.forEach((one, n) => {
    const then = after[n];
    known += Math.abs(one.figures.length - then.figures.length);
    one.figures.forEach(({ kind, value, sigma }, i) => {
      const now = then.figures[i] ?? { value: null, sigma: null };
      if ((value === null) !== (now.value === null)) known++;
      if (value === null || now.value === null || !sigma || !now.sigma) return;
      const change = Math.abs(now.value - value) / sigma;
      if (change > most.change) most = { change, kind };
      const wider = Math.max(now.sigma / sigma, sigma / now.sigma);
      if (wider > uncertainty.change) uncertainty = { change: wider, kind };
    });
    for (const text of one.told) if (!then.told.includes(text)) told.add(text.split(' of ')[0]);
    for (const text of then.told) if (!one.told.includes(text)) told.add(text.split(' of ')[0]);
  });
  return [
    most.kind && `${most.kind} by ${most.change.toFixed(1)} u`,
    uncertainty.kind && `u of ${uncertainty.kind} × ${uncertainty.change.toFixed(2)}`,
    known > 0 && `${known} figures come or go`,
    told.size > 0 && [...told].join(', '),
  ]
    .filter((part) => part !== '' && part !== false)
    .join('; ');
}
