/** Markup that needs no escaping any more; only this module makes it. */
export class SafeHtml {
  readonly markup: string;

  constructor(markup: string) {
    this.markup = markup;
  }

  toString(): string {
    return this.markup;
  }
}

type Part = SafeHtml | string | number | null | readonly Part[];

const ENTITIES: Record<string, string> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

/** Text made safe for element content and quoted attributes. */
export function escapeHtml(text: string): string {
  return text.replace(/[&<>"']/g, (character) => ENTITIES[character]!);
}

function render(part: Part): string {
  if (part === null) return '';
  if (part instanceof SafeHtml) return part.markup;
  if (typeof part === 'string') return escapeHtml(part);
  if (typeof part === 'number') return String(part);
  return part.map(render).join('');
}

/** Template tag for HTML and SVG: every value is escaped unless it is markup already; null leaves nothing, lists are joined. */
export function html(literals: TemplateStringsArray, ...parts: readonly Part[]): SafeHtml {
  return new SafeHtml(literals.reduce((markup, literal, i) => markup + render(parts[i - 1]!) + literal));
}

/** Code or style of our own as it stands. The text must not hold the closing tag of the element it goes into. */
export function trusted(text: string): SafeHtml {
  return new SafeHtml(text);
}

/**
 * A value as JSON that may stand inside a script element: `<` can't close it or open a comment, and the two line
 * separators that JSON allows and older JavaScript doesn't are escaped.
 */
export function embeddedJson(value: unknown): SafeHtml {
  const json = JSON.stringify(value)
    .replace(/</g, '\\u003c')
    .replace(/\u2028/g, '\\u2028')
    .replace(/\u2029/g, '\\u2029');
  return new SafeHtml(json);
}
