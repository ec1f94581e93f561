/** A sheet as one HTML file that needs nothing else. */
import type { ComponentType } from 'preact';

/** Loads what draws only when it is asked for: most reports are never drawn. */
export async function rendered<Props extends object>(
  loading: Promise<ComponentType<Props>>,
  props: Props,
): Promise<string> {
  const [{ h }, { renderToString }, Sheet] = await Promise.all([
    import('preact'),
    import('preact-render-to-string'),
    loading,
  ]);
  return `<!doctype html>\n${renderToString(h(Sheet, props))}\n`;
}
