/** The bench's own sentence for a refusal, said to those who hear the page as well. */
import { Mark } from '../parts/mark.tsx';
import { useStore } from '../parts/use-store.ts';

/** `control` names the control that was refused; the place stays, so that what appears in it is heard. */
export function RefusalNote({ control, id }: { readonly control: string; readonly id?: string }) {
  const refusal = useStore().refusals.all.value.get(control);
  return (
    <span class="refusal" id={id} aria-live="polite">
      {refusal !== undefined && (
        <>
          <Mark kind="warning" /> {refusal.text}
        </>
      )}
    </span>
  );
}
