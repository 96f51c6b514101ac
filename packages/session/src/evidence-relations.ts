/** Series that are drawn together. */
export interface EvidenceSeries {
  readonly dipCurve: Readonly<Record<string, readonly number[]>> | null;
  readonly profiles: readonly {
    readonly offsetCells: readonly number[];
    readonly measured: readonly number[];
    readonly model: readonly number[];
  }[];
  readonly sweep: {
    readonly lamps: readonly unknown[];
    readonly response: readonly (readonly unknown[])[];
  } | null;
}

/** What is expected of them. */
export const ONE_LENGTH = 'lists of one length';

/** Lists that must be of one length and aren't, by their path in the file. */
export function raggedSeries({ dipCurve, profiles, sweep }: EvidenceSeries): (string | number)[][] {
  const ragged = (lists: readonly (readonly unknown[])[]) =>
    lists.some((list) => list.length !== lists[0]!.length);
  return [
    ...(dipCurve && ragged(Object.values(dipCurve)) ? [['dipCurve', 'distanceM']] : []),
    ...profiles.flatMap(({ offsetCells, measured, model }, index) =>
      ragged([offsetCells, measured, model]) ? [['profiles', index, 'offsetCells']] : [],
    ),
    ...(sweep && ragged([sweep.lamps, ...sweep.response]) ? [['sweep', 'response']] : []),
  ];
}
