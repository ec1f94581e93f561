/**
 * The world live: its faces on real ports, and one timer for whatever happens by itself. At a fresh start
 * another world takes its place behind the same faces.
 */
import type { BenchClock } from '../../src/clock/index.ts';
import type { Framing, WireAnswer } from '../../src/modbus/index.ts';
import type { BusAddress, Line } from '../../src/rig/index.ts';
import type { Ms } from '../../src/units/index.ts';
import type { Step } from '../drill/step.ts';
import type { Face } from '../wire/face.ts';
import { gatewayQueue } from '../wire/gateway-queue.ts';
import { openFace } from '../wire/open-face.ts';
import type { After } from '../wire/outlet.ts';
import { isLater, type Serve } from '../wire/serve.ts';
import { applyStep } from './apply.ts';
import { pictureOf, type WorldPicture } from './picture.ts';
import { type Site, siteOf } from './site.ts';
import type { World } from './world.ts';

export class LiveWorld {
  #world: World;
  readonly #clock: BenchClock;
  readonly #faces: { readonly line: string; readonly face: Face }[] = [];
  #cancelTimer: () => void = () => undefined;
  /** Infinity while no timer runs. */
  #armedForMs = Number.POSITIVE_INFINITY;

  constructor(world: World, clock: BenchClock) {
    this.#world = world;
    this.#clock = clock;
    this.#arm();
  }

  /**
   * Opens every address of every line; rejects with PortInUse, SerialMissing, SerialUnusable or the system's
   * own error.
   */
  async listen(listenOf: (line: string) => readonly BusAddress[]): Promise<void> {
    for (const line of this.#world.rig.lines) {
      const serves = this.#servesOf(line);
      for (const address of listenOf(line.id)) {
        const serve = serves[address.kind === 'tcp' ? 'mbap' : 'rtu'];
        const face = await openFace(address, { serve, allow: line.allow, after: this.#after });
        this.#faces.push({ line: line.id, face });
      }
    }
  }

  /** Where each line really is, in the order it was asked to. */
  get addresses(): readonly { readonly line: string; readonly address: BusAddress }[] {
    return this.#faces.map(({ line, face }) => ({ line, address: face.address }));
  }

  /** Frames thrown away as broken, by line; only where RTU is spoken can a face tell. */
  thrownAway(): ReadonlyMap<string, number> {
    const counts = new Map<string, number>();
    for (const { line, face } of this.#faces) {
      if (face.address.kind !== 'tcp') counts.set(line, (counts.get(line) ?? 0) + face.stats().thrownAway);
    }
    return counts;
  }

  /**
   * Another world of the same rig is served from now on. Of the old one nothing happens any more, and what
   * waits for its turn at a gateway is not carried out on the new one: it was meant for the old.
   */
  begin(world: World): void {
    this.#cancelTimer();
    this.#cancelTimer = () => undefined;
    this.#armedForMs = Number.POSITIVE_INFINITY;
    this.#world = world;
    this.#arm();
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

  /** What a person beside it could see and measure. */
  site(): Site {
    const now = this.#clock.now();
    this.#world.advance(now);
    return siteOf(this.#world, now);
  }

  async close(): Promise<void> {
    this.#cancelTimer();
    await Promise.all(this.#faces.map(({ face }) => face.close()));
  }

  /** With a pace, all that comes by Modbus TCP shares the one serial line behind the gateway. */
  #servesOf({ id, pace }: Line): Readonly<Record<Framing['kind'], Serve>> {
    const by =
      (framing: Framing['kind']) =>
      (unitId: number, pdu: Uint8Array): WireAnswer =>
        this.#serve(id, unitId, pdu, framing);
    const mbap = by('mbap');
    if (pace === null) return { mbap, rtu: by('rtu') };
    const queueOf = (world: World): Serve =>
      gatewayQueue({
        pace,
        carryOut: (unitId, pdu) => (this.#world === world ? mbap(unitId, pdu) : undefined),
        after: this.#after,
      });
    let served = this.#world;
    let queue = queueOf(served);
    const viaQueue: Serve = (unitId, pdu) => {
      if (this.#world !== served) {
        served = this.#world;
        queue = queueOf(served);
      }
      const answer = queue(unitId, pdu);
      if (isLater(answer))
        this.#world.tell({ kind: 'waits', atMs: this.#clock.now(), line: id, unitId, pdu });
      return answer;
    };
    return { mbap: viaQueue, rtu: by('rtu') };
  }

  readonly #after: After = (ms, call) => this.#clock.at((this.#clock.now() + ms) as Ms, call);

  #serve(line: string, unitId: number, pdu: Uint8Array, framing: Framing['kind']): WireAnswer {
    const reply = this.#world.serve(line, unitId, pdu, this.#clock.now(), framing);
    this.#arm();
    return reply;
  }

  /** Most requests change nothing of what comes next, and a timer set anew would cost more than they do. */
  #arm(): void {
    const dueMs = this.#world.nextDueMs();
    if (dueMs === this.#armedForMs) return;
    this.#cancelTimer();
    this.#armedForMs = dueMs;
    if (!Number.isFinite(dueMs)) return;
    this.#cancelTimer = this.#clock.at(dueMs as Ms, () => {
      this.#armedForMs = Number.POSITIVE_INFINITY;
      this.#world.advance(this.#clock.now());
      this.#arm();
    });
  }
}
