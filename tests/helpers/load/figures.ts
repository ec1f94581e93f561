/** Figures of a bench as a monitoring system reads them. */
export type Figures = ReadonlyMap<string, number>;

/** Value by `name{labels}`. */
export async function figuresOf(page: string): Promise<Figures> {
  const text = await (await fetch(`${page}/metrics`)).text();
  const samples = [...text.matchAll(/^([a-z_]+(?:\{.*\})?) (\S+)$/gmu)];
  return new Map(samples.map(([, name = '', value = '']) => [name, Number(value)]));
}

/** All of a name that have this piece of a label among theirs, together. */
export function total(figures: Figures, name: string, label = ''): number {
  let sum = 0;
  for (const [key, value] of figures) {
    if ((key === name || key.startsWith(`${name}{`)) && key.includes(label)) sum += value;
  }
  return sum;
}
