/**
 * The rules once more, slow and plain, second by second: an oracle for the judge, with which it shares
 * nothing but the types.
 *
 * Everything of the trace lies on whole seconds. `x[t]` is the value of x throughout second t; a thing that
 * lasts from a to b holds at a, …, b - 1.
 */
import type { RuleId, RuleResult, SensorTrace } from '../../../sim/judge/index.ts';
import type { Why } from './plain-reasons.ts';
import { PlainService } from './plain-service.ts';
import { S } from './plain-signals.ts';

type Verdict = readonly [RuleResult['result'], number | null];

export class PlainEvaluator extends PlainService {
  verdict(rule: RuleId): Verdict {
    const margins = this.margins(rule);
    if (margins === null) return ['not applicable', null];
    if (margins.length === 0) return ['not exercised', null];
    const least = Math.min(...margins) + 0;
    return [least >= 0 ? 'held' : 'broken', least];
  }

  /** null for not applicable; every rig here has compressors, heat and Modbus sensors. */
  protected margins(rule: RuleId): number[] | null {
    switch (rule) {
      case 'ask':
        return this.trace.asksItself ? null : this.ask();
      case 'respond':
        return this.answered(['gas']);
      case 'silent':
        return this.answered(['silent']);
      case 'self-failed':
        return this.answered(['failed']);
      case 'implausible':
        return this.answered(['contradiction', 'frozen', 'invalid']);
      case 'identity':
        return this.answered(['stranger']);
      case 'chain':
        return this.chain();
      case 'stay-off':
        return this.stayed('before');
      case 'recheck':
        return this.stayed('after');
      case 'hold':
        return this.hold();
      case 'power-cut':
        return this.powerCut();
      case 'start':
        return this.start();
      case 'prove-fan':
        return this.proveFan();
      case 'short-cycle':
        return this.shortCycle();
      case 'resume':
        return this.resume();
      case 'no-nuisance':
        return this.noNuisance();
      case 'latch':
        return this.policy.latchAfter === null ? null : this.latch();
      case 'announce':
        return this.announce();
      case 'fire':
        return this.fire();
    }
  }

  protected reached(from: number, to: number, limit: number): number[] {
    return this.runs(this.judged, from, to).flatMap(([a, b]) => {
      const end = this.runEnd(this.judged, a);
      if (b - a < limit || end <= a + limit) return [];
      let t = a;
      while (t < end && this.mitigation[t] !== true) t += 1;
      return [limit - (t - a)];
    });
  }

  protected answered(kinds: readonly string[]): number[] {
    return this.whys
      .filter((why) => kinds.includes(why.kind))
      .flatMap((why) => this.reached(why.from, why.strictEnd, this.r()));
  }

  protected chain(): number[] {
    return this.trace.sensors.flatMap((sensor) => {
      const gas = Array.from({ length: this.n }, (_, t) => (this.value(sensor.gas, t) ?? 0) >= 25);
      const sound = this.series(sensor.sound);
      return this.runs(gas).flatMap(([from, to]) => {
        let end = from;
        while (end < to && sound[end] === true) end += 1;
        return this.reached(from, end, 30 + this.r());
      });
    });
  }

  protected ask(): number[] {
    const limit = this.policy.askWithinMs / S;
    return this.trace.sensors.flatMap((sensor) =>
      this.runs(this.judged).map(([a, b]) => {
        const times = [a, ...sensor.requests.map((one) => one.atMs / S).filter((t) => t >= a && t < b), b];
        return limit - Math.max(...times.slice(1).map((t, index) => t - (times[index] ?? 0)));
      }),
    );
  }

  protected start(): number[] {
    const rig = this.series(this.trace.rigPower);
    const modbus = this.trace.sensors.filter((sensor) => sensor.kind === 'modbus');
    return this.runs(this.alive).flatMap(([from, to]) => {
      const rigFrom = this.runStart(rig, from);
      const first = !this.alive.slice(rigFrom, from).includes(true);
      let all = from;
      while (all < to && !modbus.every((sensor) => this.hasPassed(sensor, from, all))) all += 1;
      return this.runs(this.judged, from + (first ? 0 : this.r()), all).flatMap(([a, b]) => {
        const missing = this.missing(a, b, this.stopped);
        return missing > 0 || this.call.slice(a, b).includes(true) ? [-missing] : [];
      });
    });
  }

  /** Since its own last power-up and that of the controller. */
  protected hasPassed(sensor: SensorTrace, lifeFrom: number, t: number): boolean {
    const powered = this.series(sensor.powered);
    let since = lifeFrom;
    for (let at = lifeFrom; at <= t; at += 1) {
      if (powered[at] === true && (at === 0 || powered[at - 1] === false)) since = at;
    }
    return sensor.requests.some(
      ({ atMs, answer }) =>
        atMs >= since * S && answer !== null && answer.atMs <= t * S && answer.selfTestPassed,
    );
  }

  protected proveFan(): number[] {
    const missing = this.missingAirflow();
    const margins: number[] = [];
    let t = 0;
    while (t < this.n) {
      if (missing[t] !== true) {
        t += 1;
        continue;
      }
      let end = t;
      while (end < this.n && this.airflow[end] === false && this.judged[end] === true) end += 1;
      margins.push(...this.settles(t, end, this.r(), this.stopped, true));
      t = end;
    }
    return margins;
  }

  /** A state that must be there by from + limit and then last to the end. */
  protected settles(
    from: number,
    end: number,
    limit: number,
    good: readonly boolean[],
    needsCall: boolean,
  ): number[] {
    const missing = this.missing(from + limit, end, good);
    if (missing > 0) return [-missing];
    if (needsCall && !this.call.slice(from, end).includes(true)) return [];
    if (from + limit < end) return [limit - (Math.max(from, this.runStart(good, from + limit)) - from)];
    const came = good.findIndex((stands, t) => t >= from && t < end && stands);
    return came < 0 ? [] : [limit - (came - from)];
  }

  protected fire(): number[] {
    const io = this.series(this.trace.fieldIoAnswers);
    const fire = this.series(this.trace.inputs.get('fire') ?? []).map(
      (stands, t) => stands && this.alive[t] === true && io[t] === true,
    );
    const off = this.stopped.map(
      (stopped, t) => (stopped && this.fan[t] === false) || this.commandsLost[t] === true,
    );
    const owes = this.series(this.trace.fieldIoOwes);
    return this.runs(fire).flatMap(([a, b]) => {
      let limit = 0;
      for (let heard = 0; heard < 5; limit += 1) if (owes[a + limit] !== true) heard += 1;
      return this.settles(a, b, limit, off, false);
    });
  }

  protected shortCycle(): number[] {
    const least = this.policy.compressorMinOffMs / S;
    return this.policy.circuits.flatMap((circuit) => {
      const runs = this.series(this.trace.outputs.get(`compressor.${circuit}`) ?? []);
      return runs.flatMap((_, off) => {
        if (off === 0 || runs[off - 1] !== true || runs[off] === true) return [];
        if (this.judged[off - 1] !== true || this.judged[off] !== true) return [];
        if (this.commandsLost[off] === true) return [];
        let t = off;
        while (t < this.n && runs[t] === false && this.judged[t] === true) t += 1;
        const cameOn = t < this.n && runs[t] === true && this.judged[t] === true;
        const margin = t - off - least;
        if (margin < 0) return cameOn ? [margin] : [];
        return this.call.slice(off, off + least).includes(true) ? [margin] : [];
      });
    });
  }

  protected announce(): number[] {
    const alarm = this.series(this.trace.outputs.get('alarm') ?? []);
    const trouble = this.series(this.trace.outputs.get('trouble') ?? []);
    const due = (from: number, to: number, lamp: readonly boolean[]): number[] =>
      this.runs(this.judged, from, to).flatMap(([a, b]) =>
        a + this.r() < b ? [-this.missing(a + this.r(), b, lamp)] : [],
      );
    const gas = (why: Why): boolean => why.kind === 'gas' || why.kind === 'contradiction';
    return [
      ...this.whys.flatMap((why) => due(why.from, why.laxEnd, gas(why) ? alarm : trouble)),
      ...this.runs(this.missingAirflow()).flatMap(([a, b]) => due(a, b, trouble)),
    ];
  }
}
