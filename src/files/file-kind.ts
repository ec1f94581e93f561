/** The kinds of file that people write for the bench; each says by a key, and a version, which it is. */
import type { z } from 'zod';

/** A drill names its rig: it comes first. */
const FILE_KINDS = ['drill', 'profile', 'rig'] as const;
type FileKind = (typeof FILE_KINDS)[number];

/** That a file of the kind says so, in the only version there is. */
export const VERSION = { error: 'takes 1, a bare number: the version of the file format' } as const;

interface Stranger {
  readonly key: FileKind;
  readonly message: string;
}

/** What a file says it is, where the schema is that of another kind: then its keys are not worth a word. */
export function strangerTo(schema: z.ZodType, written: unknown): Stranger | null {
  const wanted = kindAmong('shape' in schema ? schema.shape : undefined, () => true);
  const key = kindAmong(written, (version) => typeof version === 'number');
  if (wanted === null || key === null || wanted === key) return null;
  return { key, message: `is a ${key} file; name a ${wanted} file` };
}

function kindAmong(map: unknown, isMeant: (value: unknown) => boolean): FileKind | null {
  if (typeof map !== 'object' || map === null) return null;
  const entries = new Map(Object.entries(map));
  return FILE_KINDS.find((kind) => entries.has(kind) && isMeant(entries.get(kind))) ?? null;
}
