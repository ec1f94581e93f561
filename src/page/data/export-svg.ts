/**
 * A drawing of the page made to stand alone: what its style sheet says of each element is written into the
 * element itself, since most programs that open SVG know no custom properties and no sheet beside it.
 */

/** What our sheets set on parts of a drawing. */
const PROPERTIES = [
  'fill',
  'fill-opacity',
  'stroke',
  'stroke-width',
  'stroke-opacity',
  'stroke-dasharray',
  'text-anchor',
  'dominant-baseline',
  'font-size',
  'font-weight',
];
const REM_PX = 16;
export const FONT = 'Arial, "Liberation Sans", sans-serif';

export function standAlone(svg: SVGSVGElement): void {
  const rules = plainRules();
  const colours = coloursOnPaper(rules);
  for (const element of svg.querySelectorAll('*')) {
    for (const { selectorText, style } of rules) {
      if (element.matches(selectorText)) writeInto(element, style, colours);
    }
  }
  for (const element of svg.querySelectorAll('[class]')) element.removeAttribute('class');
  svg.removeAttribute('class');
  svg.setAttribute('xmlns', 'http://www.w3.org/2000/svg');
  svg.setAttribute('font-family', FONT);
}

export function textOfSvg(svg: SVGSVGElement): string {
  return `<?xml version="1.0" encoding="UTF-8"?>\n${new XMLSerializer().serializeToString(svg)}\n`;
}

/** Rules outside every condition: those of light ground. */
function plainRules(): readonly CSSStyleRule[] {
  return [...document.styleSheets]
    .flatMap((sheet) => [...sheet.cssRules])
    .filter((rule) => rule instanceof CSSStyleRule);
}

function coloursOnPaper(rules: readonly CSSStyleRule[]): ReadonlyMap<string, string> {
  const root = rules.find(({ selectorText }) => selectorText === ':root');
  const names = root === undefined ? [] : [...root.style].filter((name) => name.startsWith('--'));
  return new Map(names.map((name) => [name, root?.style.getPropertyValue(name).trim() ?? '']));
}

/** The sheet has the weaker rule first, as a drawing's own attributes need it. */
function writeInto(element: Element, style: CSSStyleDeclaration, colours: ReadonlyMap<string, string>): void {
  for (const property of PROPERTIES) {
    const value = style.getPropertyValue(property);
    if (value !== '') element.setAttribute(property, resolved(value, colours));
  }
}

function resolved(value: string, colours: ReadonlyMap<string, string>): string {
  const coloured = value.replace(/var\((--[\w-]+)\)/gu, (_, name: string) => colours.get(name) ?? 'black');
  return coloured.replace(/([\d.]+)rem/gu, (_, rem: string) => String(Number(rem) * REM_PX));
}
