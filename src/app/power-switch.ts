/** Who is told when a step cuts the power of the controller, or of the rig that it is part of. */
export class PowerSwitch {
  /** null until, or unless, there is one to switch. Called at each change, in order. */
  controller: { set(on: boolean): unknown } | null = null;
  readonly #cut = new Set<string>();
  readonly #failed: (error: unknown) => void;

  /** `failed` is told of a switching that was not done: the step that wanted it does not wait for it. */
  constructor(failed: (error: unknown) => void) {
    this.#failed = failed;
  }

  /** All power is there, as at a fresh start; whoever starts afresh sees to the controller. */
  reset(): void {
    this.#cut.clear();
  }

  /** The controller is powered while neither its own supply nor the rig's is cut. */
  changed(to: string, on: boolean): void {
    if (to !== 'controller' && to !== 'rig') return;
    const wasOn = this.#cut.size === 0;
    if (on) this.#cut.delete(to);
    else this.#cut.add(to);
    const isOn = this.#cut.size === 0;
    if (isOn !== wasOn) Promise.resolve(this.controller?.set(isOn)).catch(this.#failed);
  }
}
