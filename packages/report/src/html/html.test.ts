import { describe, expect, test } from 'vitest';
import { embeddedJson, escapeHtml, html, trusted } from './html.js';

describe('html', () => {
  // Characters: HTML Living Standard, 13.1.2.3 attributes and 13.1.2.6 text restrictions.
  test.each([
    ['<script>alert(1)</script>', '&lt;script&gt;alert(1)&lt;/script&gt;'],
    ['" onload="x', '&quot; onload=&quot;x'],
    ["it's", 'it&#39;s'],
    ['a & b &lt;', 'a &amp; b &amp;lt;'],
  ])('escapes %s', (text, markup) => {
    expect(escapeHtml(text)).toBe(markup);
    expect(html`<p title="${text}">${text}</p>`.markup).toBe(`<p title="${markup}">${markup}</p>`);
  });

  test('leaves markup alone, joins lists, leaves null out', () => {
    expect(
      html`<ul>${[html`<li>${'<'}</li>`, html`<li>${2}</li>`]}${null}${trusted('<hr>')}</ul>`.markup,
    ).toBe('<ul><li>&lt;</li><li>2</li><hr></ul>');
  });
});

describe('embeddedJson', () => {
  test('holds no character that could end its script element or a line, and reads back as it was', () => {
    const value = { name: '</script><!--<script>', lines: 'a\u2028b\u2029c' };
    const { markup } = embeddedJson(value);
    expect(markup).not.toMatch(/[<\u2028\u2029]/);
    expect(JSON.parse(markup)).toEqual(value);
  });
});
