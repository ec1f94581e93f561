/** XML 1.0, as much of it as a report needs: elements, attributes, text. */

export interface Element {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string | number>>;
  readonly children: readonly (Element | string)[];
}

export function element(
  name: string,
  attributes: Element['attributes'],
  children: Element['children'],
): Element {
  return { name, attributes, children };
}

export function xmlDocument(root: Element): string {
  return `<?xml version="1.0" encoding="UTF-8"?>\n${written(root, '')}\n`;
}

/** Elements stand on lines of their own; text is kept as it is, for a space more would be another text. */
function written({ name, attributes, children }: Element, indent: string): string {
  const head = [
    name,
    ...Object.entries(attributes).map(([key, value]) => `${key}="${quoted(String(value))}"`),
  ];
  const inside = children.filter((child) => child !== '');
  if (inside.length === 0) return `${indent}<${head.join(' ')}/>`;
  if (inside.some((child) => typeof child === 'string')) {
    const text = inside.map((child) => (typeof child === 'string' ? escaped(child) : written(child, '')));
    return `${indent}<${head.join(' ')}>${text.join('')}</${name}>`;
  }
  const rows = inside.map((child) => (typeof child === 'string' ? '' : written(child, `${indent}  `)));
  return `${indent}<${head.join(' ')}>\n${rows.join('\n')}\n${indent}</${name}>`;
}

const ENTITIES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };

function escaped(text: string): string {
  return legal(text).replace(/[&<>"]/gu, (sign) => ENTITIES[sign] ?? sign);
}

/** A reader turns line ends and tabs in attributes into blanks, unless they are written as references. */
function quoted(text: string): string {
  return escaped(text).replace(/[\t\n\r]/gu, (sign) => `&#${sign.charCodeAt(0)};`);
}

/**
 * XML 1.0 section 2.2 knows no control characters, not even as references; a controller's last lines have
 * them.
 */
function legal(text: string): string {
  return text.replace(/[^\t\n\r\u{20}-\u{d7ff}\u{e000}-\u{fffd}\u{10000}-\u{10ffff}]/gu, '\u{fffd}');
}
