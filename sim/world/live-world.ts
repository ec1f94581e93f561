/** The world live: its faces on real ports, and one timer for whatever happens by itself. */
import type { BenchClock } from '../../src/clock/index.ts';
import type { WireAnswer } from '../../src/modbus/index.ts';
import type { TcpAddress } from '../../src/rig/index.ts';
import type { Ms } from '../../src/units/index.ts';
import type { Step } from '../drill/step.ts';
import { openTcpFace, type TcpFace } from '../wire/tcp-face.ts';
import { applyStep } from './apply.ts';
import { pictureOf, type WorldPicture } from './picture.ts';
import type { World } from './world.ts';

export class LiveWorld {
  readonly #world: World;
  readonly #clock: BenchClock;
  readonly #faces: { readonly line: string; readonly face: TcpFace }[] = [];
  #cancelTimer: () => void = () => undefined;

  constructor(world: World, clock: BenchClock) {
    this.#world = world;
    this.#clock = clock;
    this.#arm();
  }

  /** Opens every address of every line; rejects with PortInUse or the system's own error. */
  async listen(listenOf: (line: string) => readonly TcpAddress[]): Promise<void> {
    for (const line of this.#world.rig.lines) {
      for (const { host, port } of listenOf(line.id)) {
        const allow = line.allow.length > 0 ? { allow: line.allow } : {};
        const face = await openTcpFace({
          host,
          port,
          ...allow,
          serve: (unitId, pdu) => this.#serve(line.id, unitId, pdu),
          after: (ms, call) => this.#clock.at((this.#clock.now() + ms) as Ms, call),
        });
        this.#faces.push({ line: line.id, face });
      }
    }
  }

  /** Where each line really listens, in the order it was asked to. */
  get addresses(): readonly { readonly line: string; readonly host: string; readonly port: number }[] {
    return this.#faces.map(({ line, face }) => ({ line, ...face.address }));
  }

  /** What applyStep says. */
  apply(step: Step): string | null {
    const problem = applyStep(this.#world, step, this.#clock.now());
    this.#arm();
    return problem;
  }

  picture(): WorldPicture {
    const now = this.#clock.now();
    this.#world.advance(now);
    return pictureOf(this.#world, now);
  }

  async close(): Promise<void> {
    this.#cancelTimer();
    await Promise.all(this.#faces.map(({ face }) => face.close()));
  }

  #serve(line: string, unitId: number, pdu: Uint8Array): WireAnswer {
    const reply = this.#world.serve(line, unitId, pdu, this.#clock.now());
    this.#arm();
    return reply;
  }

  #arm(): void {
    this.#cancelTimer();
    const dueMs = this.#world.nextDueMs();
    if (!Number.isFinite(dueMs)) return;
    this.#cancelTimer = this.#clock.at(dueMs as Ms, () => {
      this.#world.advance(this.#clock.now());
      this.#arm();
    });
  }
}
