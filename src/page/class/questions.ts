/** The parts that a class can name, from the rig on the bench: the same list as the phones get. */
import { partsOf } from '../../lesson/index.ts';
import { useStore } from '../parts/use-store.ts';
import type { Questions } from './types.ts';

export function useQuestions(): Questions {
  const rig = useStore().rig.value;
  return { parts: rig === null ? [] : partsOf(rig) };
}
