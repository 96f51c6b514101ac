/** A page as somebody reads it: no tags, one space between words. */
export function plainText(page: string): string {
  return page
    .replace(/<(script|style)[\s\S]*?<\/\1>/g, ' ')
    .replace(/<[^>]*>/g, ' ')
    .replace(/&nbsp;|\u00a0/g, ' ')
    .replace(/&#(\d+);/g, (_, code) => String.fromCodePoint(Number(code)))
    .replace(/\s+/g, ' ');
}

/** Of a tube's front end, mm. */
export interface Move {
  readonly across: number;
  readonly up: number;
}

/** What the report's rows ask the builder to do: one for each sentence that moves a front end, in the page's order. */
export function movesAsked(page: string): Move[] {
  const asked =
    /Move its front end (?:([\d.]+) mm to the (left|right))?(?: and )?(?:([\d.]+) mm (up|down))?/g;
  // A way that rounds to nothing is not said.
  return [...plainText(page).matchAll(asked)].map(([, across = '0', side, up = '0', way]) => ({
    across: Number(across) * (side === 'right' ? 1 : -1),
    up: Number(up) * (way === 'up' ? 1 : -1),
  }));
}

/** The figures of one tube in cells.csv, by the columns' names. */
export function cellLine(csv: string, row: number, column: number): (name: string) => number {
  const [header, ...lines] = csv.trimEnd().split('\r\n');
  const names = header!.split(',');
  const fields = lines.map((line) => line.split(','));
  const own = fields.find(
    (line) => line[names.indexOf('row')] === String(row) && line[names.indexOf('column')] === String(column),
  )!;
  return (name) => Number(own[names.indexOf(name)]);
}
