/**
 * start: stopped until every Modbus sensor has answered that its self-test passed, since its own and the
 * controller's power-up; from `respondWithin` after the controller's power-up at the latest, from the first
 * command on at a power-up of the whole rig.
 *
 * The window of one power-up closes at the first moment at which every pass is good. A sensor that restarts
 * later is not this rule's: it becomes silent.
 */
import { type Case, type Definition, lacksModbusSensors, lapseIn } from './definition.ts';
import type { Ground } from './ground.ts';
import { firstFrom, intersect, itemsIn, type Span, type Spans, whileIs, within } from './spans.ts';
import { clock, length } from './text.ts';
import type { SensorTrace } from './trace.ts';

export const start: Definition = {
  lacks: lacksModbusSensors,
  cases: (ground) => {
    const passes = ground.trace.sensors
      .filter((sensor) => sensor.kind === 'modbus')
      .map((sensor) => ({ id: sensor.id, passed: passedSpans(sensor, ground) }));
    return ground.lives.flatMap((life, index) =>
      casesOf(life, isWholeRig(life, ground.lives[index - 1], ground), passes, ground),
    );
  },
  exercisedWhen: 'It would take a call that stands while a sensor has not passed its self-test yet.',
  countedFrom: 'a power-up of the whole rig; respondWithin after a power-up of the controller alone',
  limit: 'compressors and heat off until every Modbus sensor has answered that its self-test passed',
};

interface Pass {
  readonly id: string;
  readonly passed: Spans;
}

/** The rig itself came back since the controller's last life, if there was one. */
function isWholeRig(life: Span, before: Span | undefined, ground: Ground): boolean {
  if (before === undefined) return true;
  return ground.rigPowered.some(({ fromMs }) => fromMs > before.toMs && fromMs <= life.fromMs);
}

function casesOf(life: Span, wholeRig: boolean, passes: readonly Pass[], ground: Ground): readonly Case[] {
  const all = passes.reduce<Spans>((both, { passed }) => intersect(both, passed), [life]);
  const fromMs = life.fromMs + (wholeRig ? 0 : ground.policy.respondWithinMs);
  const toMs = all[0]?.fromMs ?? life.toMs;
  if (toMs <= fromMs) return [];
  return within({ fromMs, toMs }, ground.judged).flatMap((window) => {
    const { lapseMs, fromMs: ranMs } = lapseIn(window, ground.stopped);
    if (lapseMs === 0 && within(window, ground.call).length === 0) return [];
    const sensor = lastToPass(passes, lapseMs > 0 ? ranMs : window.fromMs);
    return [
      {
        marginMs: -lapseMs,
        atMs: ranMs,
        sensor,
        because: () => [
          `The ${wholeRig ? 'whole rig' : 'controller'} powered up at ${clock(life.fromMs)}; ` +
            `${sensor} had not answered that its self-test passed.`,
          lapseMs > 0
            ? `A compressor or heat was commanded at ${clock(ranMs)}, for ${length(lapseMs)} in all before that.`
            : `Compressors and heat stayed off from ${clock(window.fromMs)} to ${clock(window.toMs)}.`,
        ],
      },
    ];
  });
}

/** The sensor that was waited for longest from a moment on. */
function lastToPass(passes: readonly Pass[], fromMs: number): string {
  let last = { id: '', atMs: -Infinity };
  for (const { id, passed } of passes) {
    const atMs = firstFrom(passed, fromMs) ?? Infinity;
    if (atMs > last.atMs) last = { id, atMs };
  }
  return last.id;
}

/** While a pass is good: until the sensor's next power-up, or the end of the controller's life. */
function passedSpans(sensor: SensorTrace, ground: Ground): Spans {
  return stretchesOf(sensor, ground).flatMap((stretch) => {
    const passed = itemsIn(sensor.requests, stretch).find(({ answer }) => answer?.selfTestPassed === true);
    const fromMs = passed?.answer?.atMs ?? stretch.toMs;
    return fromMs < stretch.toMs ? [{ fromMs, toMs: stretch.toMs }] : [];
  });
}

/** Lives of the controller, cut in two wherever the sensor powers up. */
function stretchesOf(sensor: SensorTrace, ground: Ground): readonly Span[] {
  const powerUps = whileIs(sensor.powered, (value) => value, ground.trace.endMs).map((span) => span.fromMs);
  return ground.lives.flatMap((life) => {
    const stretches: Span[] = [];
    let { fromMs } = life;
    for (const toMs of [...powerUps.filter((atMs) => atMs > fromMs && atMs < life.toMs), life.toMs]) {
      stretches.push({ fromMs, toMs });
      fromMs = toMs;
    }
    return stretches;
  });
}
