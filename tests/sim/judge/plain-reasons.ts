/** Reasons of the plain evaluator: each sensor's answers gone through anew for every second. */
import type { Answer, SensorTrace } from '../../../sim/judge/index.ts';
import { PlainSignals, S } from './plain-signals.ts';

export interface Why {
  readonly sensor: string;
  readonly kind: string;
  readonly from: number;
  readonly strictEnd: number;
  readonly laxEnd: number;
  readonly open: boolean;
}

export class PlainReasons extends PlainSignals {
  private known: readonly Why[] | null = null;

  protected get whys(): readonly Why[] {
    this.known ??= this.trace.sensors
      .flatMap((sensor) => this.whysOf(sensor))
      .sort((a, b) => a.from - b.from);
    return this.known;
  }

  protected whysOf(sensor: SensorTrace): Why[] {
    return this.runs(this.alive).flatMap(([from, to]) => this.whysInLife(sensor, from, to));
  }

  protected whysInLife(sensor: SensorTrace, from: number, to: number): Why[] {
    const requests = sensor.requests.filter((one) => one.atMs >= from * S && one.atMs < to * S);
    const answers = requests.flatMap(({ answer }) =>
      answer !== null && answer.atMs < to * S ? [answer] : [],
    );
    const good = answers.filter((one) => one.state !== 'warming-up');
    const whys: Why[] = [];
    const add = (kind: string, holds: (t: number) => boolean): void => {
      const series = Array.from({ length: this.n }, (_, t) => t >= from && t < to && holds(t));
      for (const [a, b] of this.runs(series)) {
        whys.push({ sensor: sensor.id, kind, from: a, strictEnd: b, laxEnd: b, open: b === to });
      }
    };
    const known = (t: number): Answer[] => good.filter((one) => one.atMs <= t * S);
    add('failed', (t) => known(t).at(-1)?.state === 'failed');
    add('invalid', (t) => this.number(known(t)) === null);
    add('stranger', (t) => {
      const serial = known(t)
        .filter((one) => one.serial !== undefined)
        .at(-1)?.serial;
      return sensor.serial !== null && serial !== undefined && serial !== sensor.serial;
    });
    const frozen = this.frozen(good, to);
    add('frozen', (t) => frozen.has(t));
    const silent = this.silent(sensor, from, to);
    add('silent', (t) => silent.has(t));
    for (const kind of ['gas', 'contradiction'] as const) {
      whys.push(...this.rises(sensor.id, kind, good, to));
    }
    return whys;
  }

  protected number(good: readonly Answer[]): number | null | undefined {
    return good.filter((one) => one.gasPercentLfl !== undefined).at(-1)?.gasPercentLfl;
  }

  /** Seconds of a counter at rest for `silentAfter`, told so by a good answer. */
  protected frozen(good: readonly Answer[], to: number): ReadonlySet<number> {
    const restS = this.policy.silentAfterMs / S;
    const pauseMs = Math.max(this.policy.silentAfterMs, this.policy.askWithinMs);
    const seconds = new Set<number>();
    good.forEach((answer, index) => {
      if (answer.state === 'failed' || answer.counter === undefined) return;
      let first = index;
      for (;;) {
        const [before, here] = [good[first - 1], good[first]];
        if (before === undefined || here === undefined || before.state === 'failed') break;
        if (before.counter !== answer.counter || here.atMs - before.atMs > pauseMs) break;
        first -= 1;
      }
      const movedS = (good[first]?.atMs ?? 0) / S;
      if (answer.atMs / S - movedS < restS) return;
      const ends = good
        .slice(index)
        .find((one) => one.state === 'failed' || one.counter !== answer.counter)?.atMs;
      for (let t = movedS + restS; t < (ends === undefined ? to : ends / S); t += 1) seconds.add(t);
    });
    return seconds;
  }

  protected silent(sensor: SensorTrace, from: number, to: number): ReadonlySet<number> {
    const limitMs = this.policy.silentAfterMs;
    const seconds = new Set<number>();
    let stands = false;
    for (let t = from; t < to; t += 1) {
      const now = t * S;
      const asked = sensor.requests.filter((one) => one.atMs >= from * S && one.atMs <= now);
      const heard = asked.flatMap(({ answer }) => (answer !== null && answer.atMs <= now ? [answer] : []));
      const good = heard.filter((one) => one.state !== 'warming-up');
      if (good.at(-1)?.atMs === now && good.at(-1)?.selfTestPassed === true) stands = false;
      const lastMs = heard.at(-1)?.atMs ?? -1;
      const missed = asked.find((one) => one.atMs > lastMs && one.answer === null)?.atMs;
      const lastGoodMs = good.at(-1)?.atMs;
      const notGood =
        lastGoodMs === undefined
          ? undefined
          : asked.find(
              (one) =>
                one.atMs > lastGoodMs &&
                (one.answer === null || (one.answer.state === 'warming-up' && one.answer.atMs <= now)),
            )?.atMs;
      if (missed !== undefined && now - missed >= limitMs) stands = true;
      if (notGood !== undefined && now - notGood >= limitMs) stands = true;
      if (stands) seconds.add(t);
    }
    return seconds;
  }

  /** One for each rise to the setpoint, or to saying gas, within a strict stretch. */
  protected rises(id: string, kind: 'gas' | 'contradiction', good: readonly Answer[], to: number): Why[] {
    const { setpointPercentLfl: setpoint, clearBelowPercentLfl: clear } = this.policy;
    const marks: ('says' | 'dips' | 'ends' | 'nothing')[] = [];
    let stands = false;
    good.forEach((answer, index) => {
      const number = this.number(good.slice(0, index + 1));
      const high = typeof number === 'number' && number >= setpoint;
      const low = typeof number === 'number' && number < clear;
      const quiet = answer.state === 'measuring' && !answer.gasBit;
      const begins =
        kind === 'gas'
          ? answer.state === 'gas' || answer.gasBit
          : quiet && high && answer.gasPercentLfl !== undefined;
      const ends = kind === 'gas' ? quiet && (low || number === undefined) : low;
      if (begins || (stands && high)) {
        stands = true;
        marks.push('says');
      } else if (stands && ends) {
        stands = false;
        marks.push('ends');
      } else marks.push(stands ? 'dips' : 'nothing');
    });
    const second = (index: number): number => (good[index]?.atMs ?? to * S) / S;
    return marks.flatMap((mark, index) => {
      if (mark !== 'says' || marks[index - 1] === 'says') return [];
      const after = marks.findIndex((one, later) => later > index && one !== 'says');
      const endsAt = marks.findIndex((one, later) => later > index && one === 'ends');
      const laxEnd = after < 0 ? to : second(after - 1);
      const strictEnd = endsAt < 0 ? to : second(endsAt);
      return [{ sensor: id, kind, from: second(index), strictEnd, laxEnd, open: after < 0 }];
    });
  }
}
