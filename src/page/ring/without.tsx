/** What stands in a station's place while there is no supervisor here to ask. */
import { CONTROLLER_SUPPLIES, controllerOff } from '../data/history.ts';
import { useStore } from '../parts/use-store.ts';
import { T } from '../texts/index.ts';

/** Whether the controller that runs here has lost its power; otherwise it runs elsewhere. */
export function useControllerUnpowered(): boolean {
  const { history, shown } = useStore();
  const unpowered = shown.snapshot.value?.world?.unpowered ?? [];
  return unpowered.some((one) => CONTROLLER_SUPPLIES.has(one)) || controllerOff(history.value);
}

export function WithoutSupervisor() {
  return <p class="elsewhere">{useControllerUnpowered() ? T.supervisorUnpowered : T.supervisorElsewhere}</p>;
}
