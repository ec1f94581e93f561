/** Saves what is shown, or the numbers behind it, as a file of the person's own. */
import { csvOf } from '../data/export-csv.ts';
import { pngOf } from '../data/export-png.ts';
import { standAlone, textOfSvg } from '../data/export-svg.ts';
import { fileWords, saveFile } from '../data/save-file.ts';
import { C } from '../texts/index.ts';
import { drawnSheet, type SheetProps } from './sheet.tsx';

type Kind = keyof typeof C.saveAs;

const KINDS: readonly Kind[] = ['svg', 'png', 'csv'];

export function Save({ sheetNow }: { readonly sheetNow: () => SheetProps }) {
  return (
    <fieldset class="signs">
      <legend>{C.save}</legend>
      {KINDS.map((kind) => (
        <button
          key={kind}
          type="button"
          aria-label={C.saveAs[kind].says}
          title={C.saveAs[kind].says}
          onClick={() => {
            void save(kind, sheetNow());
          }}
        >
          {C.saveAs[kind].word}
        </button>
      ))}
    </fieldset>
  );
}

async function save(kind: Kind, props: SheetProps): Promise<void> {
  const content = await contentOf(kind, props);
  if (content !== null) saveFile(content, fileName(props, kind));
}

async function contentOf(kind: Kind, props: SheetProps): Promise<Blob | null> {
  if (kind === 'csv') {
    return new Blob([csvOf(props.rig, props.history)], { type: 'text/csv;charset=utf-8' });
  }
  const svg = drawnSheet(props);
  if (svg === null) return null;
  standAlone(svg);
  return kind === 'png' ? pngOf(svg) : new Blob([textOfSvg(svg)], { type: 'image/svg+xml' });
}

/** Named after rig and time. */
function fileName({ rig, toMs }: SheetProps, kind: Kind): string {
  return `${fileWords(rig.name)}-${C.at(toMs).replaceAll(':', '-')}.${kind}`;
}
