// Small helpers for building the page; text goes in as text, never as markup.

type Child = Node | string | null | false;
type Attributes = Record<string, string | number | boolean | null>;

function fill<T extends Element>(element: T, attributes: Attributes, children: Child[]): T {
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== null && value !== false) element.setAttribute(name, value === true ? '' : String(value));
  }
  element.append(...children.filter((child): child is Node | string => child !== null && child !== false));
  return element;
}

export function h<K extends keyof HTMLElementTagNameMap>(tag: K, attributes: Attributes = {}, ...children: Child[]): HTMLElementTagNameMap[K] {
  return fill(document.createElement(tag), attributes, children);
}

export function svg<K extends keyof SVGElementTagNameMap>(tag: K, attributes: Attributes = {}, ...children: Child[]): SVGElementTagNameMap[K] {
  return fill(document.createElementNS('http://www.w3.org/2000/svg', tag), attributes, children);
}

export function byId<T extends HTMLElement>(id: string): T {
  const element = document.getElementById(id);
  if (!element) throw new Error(`The page has no element '${id}'.`);
  return element as T;
}

export function table(caption: string, head: string[], rows: Child[][], numeric: number[] = []): HTMLTableElement {
  const cell = (tag: 'td' | 'th', i: number, child: Child) =>
    h(tag, { class: numeric.includes(i) ? 'number' : null, scope: tag === 'th' ? 'col' : null }, child);
  return h(
    'table', {},
    h('caption', {}, caption),
    h('thead', {}, h('tr', {}, ...head.map((text, i) => cell('th', i, text)))),
    h('tbody', {}, ...rows.map((row) => h('tr', {}, ...row.map((child, i) => cell('td', i, child))))),
  );
}
