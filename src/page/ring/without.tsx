/** What stands in a station's place while there is no supervisor here to ask. */
import { useStore } from '../parts/use-store.ts';
import { T } from '../texts/index.ts';

/** Whether the controller that runs here has lost its power; otherwise it runs elsewhere. */
export function useControllerUnpowered(): boolean {
  const { history, shown } = useStore();
  const unpowered = shown.snapshot.value?.world?.unpowered.includes('controller') === true;
  return unpowered || history.value.controllerOff;
}

export function WithoutSupervisor() {
  return <p class="elsewhere">{useControllerUnpowered() ? T.supervisorUnpowered : T.supervisorElsewhere}</p>;
}
