/**
 * A drawing that stands alone, painted on a canvas. A browser would do it through an image of a blob, which
 * the page's policy forbids (only images of the bench itself may be shown); our drawings are made of groups,
 * paths, rectangles and texts, and those a canvas knows.
 */
import { FONT } from './export-svg.ts';

/** Dots a px: sharp on paper and on good screens. */
const SCALE = 2;

export function pngOf(svg: SVGSVGElement): Promise<Blob | null> {
  const canvas = document.createElement('canvas');
  canvas.width = numberIn(svg, 'width') * SCALE;
  canvas.height = numberIn(svg, 'height') * SCALE;
  const context = canvas.getContext('2d');
  if (context === null) return Promise.resolve(null);
  context.scale(SCALE, SCALE);
  paintChildren(context, svg);
  return new Promise((resolve) => {
    canvas.toBlob(resolve, 'image/png');
  });
}

type Painter = (context: CanvasRenderingContext2D, element: Element) => void;

/** What is not here, such as a description or a pattern, is not painted. */
const PAINTERS: Readonly<Record<string, Painter>> = {
  g: (context, element) => {
    context.save();
    const [across = 0, down = 0] = numbersIn(element, 'transform');
    context.translate(across, down);
    paintChildren(context, element);
    context.restore();
  },
  path: (context, element) => {
    fillAndStroke(context, element, new Path2D(element.getAttribute('d') ?? ''));
  },
  rect: (context, element) => {
    const path = new Path2D();
    const [x, y] = [numberIn(element, 'x'), numberIn(element, 'y')];
    path.roundRect(x, y, numberIn(element, 'width'), numberIn(element, 'height'), numberIn(element, 'rx'));
    fillAndStroke(context, element, path);
  },
  text: (context, element) => {
    const weight = element.getAttribute('font-weight') ?? 'normal';
    context.font = `${weight} ${numberIn(element, 'font-size', 12)}px ${FONT}`;
    context.textAlign = ANCHORS[element.getAttribute('text-anchor') ?? 'start'] ?? 'start';
    context.textBaseline = element.hasAttribute('dominant-baseline') ? 'middle' : 'alphabetic';
    context.fillStyle = element.getAttribute('fill') ?? 'black';
    context.fillText(element.textContent, numberIn(element, 'x'), numberIn(element, 'y'));
  },
};

const ANCHORS: Readonly<Record<string, CanvasTextAlign>> = { start: 'start', middle: 'center', end: 'end' };

function paintChildren(context: CanvasRenderingContext2D, element: Element): void {
  for (const child of element.children) PAINTERS[child.localName]?.(context, child);
}

function fillAndStroke(context: CanvasRenderingContext2D, element: Element, path: Path2D): void {
  const fill = element.getAttribute('fill') ?? 'black';
  if (fill !== 'none') {
    context.globalAlpha = numberIn(element, 'fill-opacity', 1);
    context.fillStyle = fill.startsWith('url') ? hatchOf(context, element) : fill;
    context.fill(path);
  }
  const stroke = element.getAttribute('stroke') ?? 'none';
  if (stroke !== 'none') {
    context.globalAlpha = numberIn(element, 'stroke-opacity', 1);
    context.strokeStyle = stroke;
    context.lineWidth = numberIn(element, 'stroke-width', 1);
    context.setLineDash(numbersIn(element, 'stroke-dasharray'));
    context.stroke(path);
  }
  context.globalAlpha = 1;
}

/** The one pattern there is: slanting strokes. */
function hatchOf(context: CanvasRenderingContext2D, element: Element): CanvasPattern | string {
  const stroke = element.ownerDocument.createElement('canvas');
  const pattern = element.closest('svg')?.querySelector('pattern');
  const line = pattern?.querySelector('path');
  stroke.width = numberIn(pattern ?? element, 'width', 6);
  stroke.height = stroke.width;
  const small = stroke.getContext('2d');
  if (small === null || line === null || line === undefined) return 'none';
  small.fillStyle = line.getAttribute('stroke') ?? 'black';
  small.fillRect(0, 0, numberIn(line, 'stroke-width', 1) / 2, stroke.height);
  const made = context.createPattern(stroke, 'repeat');
  made?.setTransform(new DOMMatrix().rotate(45));
  return made ?? 'none';
}

function numberIn(element: Element, name: string, otherwise = 0): number {
  const value = Number.parseFloat(element.getAttribute(name) ?? '');
  return Number.isFinite(value) ? value : otherwise;
}

function numbersIn(element: Element, name: string): number[] {
  return (element.getAttribute(name)?.match(/-?[\d.]+/gu) ?? []).map(Number);
}
