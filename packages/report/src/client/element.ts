type Child = Node | string | null;

/** An element with attributes and children; text is text, never markup. */
export function element(
  name: string,
  attributes: Record<string, string>,
  ...children: readonly Child[]
): HTMLElement {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  made.append(...children.filter((child): child is Node | string => child !== null));
  return made;
}

const SVG = 'http://www.w3.org/2000/svg';

export function svgElement(
  name: string,
  attributes: Record<string, string | number>,
  ...children: readonly SVGElement[]
): SVGElement {
  const made = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, String(value));
  made.append(...children);
  return made;
}
