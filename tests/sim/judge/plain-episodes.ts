/** Episodes and lock-outs of the plain evaluator, and the rules that live in them. */
import { PlainReasons, type Why } from './plain-reasons.ts';
import { S } from './plain-signals.ts';

export interface Series {
  readonly from: number;
  readonly whys: Why[];
  lastEnd: number;
}

export interface PlainLock {
  readonly first: number;
  readonly from: number;
  readonly holdEnds: number;
  until: number;
}

/** `most`: what it saw while nobody judged it counts as well. */
type Reading = 'lax' | 'least' | 'most';

const isGas = (why: Why): boolean => why.kind === 'gas' || why.kind === 'contradiction';

export class PlainEpisodes extends PlainReasons {
  protected seriesOf(reading: Reading): Series[] {
    const all: Series[] = [];
    const most = reading === 'most';
    const seen = most ? this.alive : this.judged;
    const whys = most ? [...this.whys, ...this.lastWords()].sort((a, b) => a.from - b.from) : this.whys;
    for (const why of whys) {
      if (!(most && why.open && isGas(why)) && !this.counts(why, seen)) continue;
      const nextLife = this.alive.findIndex((alive, t) => t >= why.strictEnd && alive);
      const closed = reading === 'least' ? why.strictEnd : why.laxEnd;
      const end = why.open ? (nextLife < 0 ? why.strictEnd : nextLife) : closed;
      const last = all.at(-1);
      if (last !== undefined && this.lastsTo(last, why.from, reading) && this.goesOn(last, why.from, seen)) {
        last.whys.push(why);
        last.lastEnd = Math.max(last.lastEnd, end);
      } else all.push({ from: why.from, whys: [why], lastEnd: end });
    }
    return all;
  }

  /** Gas that begins in the second at which a life has ended. */
  protected lastWords(): Why[] {
    return this.trace.sensors.flatMap((sensor) =>
      this.runs(this.alive).flatMap(([from, to]) =>
        this.whysInLife(sensor, from, to + 1).filter((why) => why.from === to && isGas(why)),
      ),
    );
  }

  /** Past the hold a series lasts, by the least reading, for as long as mitigation is not let go. */
  protected lastsTo(series: Series, from: number, reading: Reading): boolean {
    const passed = series.lastEnd + this.holdS();
    if (reading !== 'least') return from < passed;
    for (let t = passed; t < from; t += 1) if (this.leftAt(t)) return false;
    return true;
  }

  /** Not in mitigation, and judged for long enough that it had to be. */
  protected leftAt(t: number): boolean {
    if (this.judged[t] !== true || this.mitigation[t] === true) return false;
    return t - this.runStart(this.judged, t) >= this.r();
  }

  protected counts(why: Why, seen: readonly boolean[]): boolean {
    return this.runs(seen, why.from, why.strictEnd).some(([a, b]) => {
      if (b - a >= this.r()) return true;
      // The first mitigation there is decides, and only in time that is seen.
      const t = this.mitigation.findIndex((stands, at) => at >= a && stands);
      return t >= 0 && t <= a + this.r() && seen[t] === true;
    });
  }

  protected lifeEnd(series: Series): number {
    return this.runEnd(this.alive, series.from);
  }

  protected goesOn(series: Series, from: number, seen: readonly boolean[]): boolean {
    return from < this.lifeEnd(series) || this.reachedBeforeCut(series, seen);
  }

  protected reachedBeforeCut(series: Series, seen: readonly boolean[] = this.judged): boolean {
    for (let t = series.from; t < this.lifeEnd(series); t += 1) {
      if (seen[t] === true && this.mitigation[t] === true) return true;
    }
    return false;
  }

  protected standsAt(series: Series, t: number): boolean {
    return series.whys.some((why) => why.from <= t && t < why.laxEnd);
  }

  protected leaves(series: Series): number[] {
    const end = Math.min(series.lastEnd + this.holdS(), this.lifeEnd(series));
    const leaves: number[] = [];
    for (let t = series.from + 1; t < end; t += 1) {
      const leaves_ = this.mitigation[t - 1] === true && this.mitigation[t] === false;
      if (leaves_ && this.judged[t - 1] === true && this.judged[t] === true) leaves.push(t);
    }
    return leaves;
  }

  protected stayed(part: 'before' | 'after'): number[] {
    return this.seriesOf('lax').flatMap((series) => {
      const boundary = series.from + this.holdS();
      const mine = (t: number): boolean => (part === 'before' ? t < boundary : t >= boundary);
      const broken = this.leaves(series)
        .filter((t) => mine(t) && this.standsAt(series, t - 1) && this.standsAt(series, t))
        .map((leave) => {
          let t = leave;
          while (t < this.n && this.standsAt(series, t) && this.judged[t] && !this.mitigation[t]) t += 1;
          return leave - t;
        });
      if (broken.length > 0) return broken;
      for (let t = series.from; t < this.lifeEnd(series); t += 1) {
        if (mine(t) && this.standsAt(series, t) && this.mitigation[t] && this.judged[t]) return [0];
      }
      return [];
    });
  }

  protected hold(): number[] {
    const hold = this.holdS();
    return this.seriesOf('lax').flatMap((series) => {
      const margins = this.leaves(series)
        .filter((t) => !(this.standsAt(series, t - 1) && this.standsAt(series, t)))
        .map((t) => {
          const ended = series.whys.filter((why) => why.from < t).map((why) => why.laxEnd);
          return t - Math.max(...ended) - hold;
        });
      const due = series.lastEnd + hold;
      const [mitigated, judged] = [this.mitigation[due - 1], this.judged[due - 1]];
      const whole = series.whys.some((why) => why.laxEnd === series.lastEnd);
      if (due <= this.lifeEnd(series) && mitigated === true && judged === true && whole) {
        let t = due;
        while (t < this.n && this.mitigation[t] === true && this.judged[t] === true) t += 1;
        margins.push(t - due);
      }
      return margins;
    });
  }

  protected powerCut(): number[] {
    const windows: { from: number; to: number; good: readonly boolean[]; notBefore: number }[] = [];
    for (const series of this.seriesOf('lax')) {
      if (this.reachedBeforeCut(series)) {
        const to = series.lastEnd + this.holdS();
        windows.push({ from: this.lifeEnd(series), to, good: this.mitigation, notBefore: 0 });
      }
    }
    for (const lock of this.locks('least')) {
      const from = this.runEnd(this.alive, lock.first);
      windows.push({ from, to: lock.until, good: this.stopped, notBefore: this.lockDue(lock) });
    }
    return windows.flatMap(({ from, to, good, notBefore }) =>
      this.runs(this.judged, from, to).flatMap(([a, b]) => {
        const start = Math.max(a + this.r(), notBefore);
        return start < b ? [-this.missing(start, b, good)] : [];
      }),
    );
  }

  protected missing(from: number, to: number, good: readonly boolean[]): number {
    let missing = 0;
    for (let t = from; t < to; t += 1) if (good[t] !== true) missing += 1;
    return missing;
  }

  protected locks(reading: 'least' | 'most'): PlainLock[] {
    const { latchAfter } = this.policy;
    if (latchAfter === null) return [];
    const io = this.series(this.trace.fieldIoAnswers);
    const button = this.series(this.trace.inputs.get('serviceReset') ?? []);
    const seen = (t: number): boolean =>
      reading === 'least' ? this.alive[t] === true && io[t] === true : this.judged[t] === true;
    const all = this.seriesOf(reading);
    const stands = (t: number): boolean =>
      reading === 'least'
        ? all.some((series) => this.standsAt(series, t))
        : this.whys.some((why) => why.from <= t && t < why.strictEnd);
    const trips = new Map<number, Series>();
    for (const series of all) {
      const gas = series.whys.find(isGas);
      if (gas !== undefined) trips.set(gas.from, series);
    }
    const locks: PlainLock[] = [];
    let onsets: number[] = [];
    let lock: PlainLock | null = null;
    for (let t = 0; t < this.n; t += 1) {
      const pressed = t > 0 && button[t] === true && button[t - 1] === false && seen(t) && seen(t - 1);
      if (pressed && !stands(t)) {
        if (lock !== null) lock.until = t;
        if (lock !== null || reading === 'least') onsets = [];
        lock = null;
      }
      const trip = trips.get(t);
      if (trip === undefined || lock !== null) continue;
      onsets = [...onsets, t].filter((onset) => t - onset <= latchAfter.withinMs / S);
      const first = onsets.at(-latchAfter.trips);
      if (first === undefined) continue;
      lock = { first, from: t, holdEnds: trip.lastEnd + this.holdS(), until: this.n };
      locks.push(lock);
      onsets = [];
    }
    return locks;
  }

  protected lockDue(lock: PlainLock): number {
    const due = lock.from + this.r();
    const stopped = this.stopped.findIndex((stands, t) => t >= due && stands);
    return Math.min(stopped < 0 ? this.n : stopped, Math.max(due, lock.holdEnds));
  }

  protected latch(): number[] {
    return this.locks('least').flatMap((lock) => {
      const to = Math.min(lock.until, this.runEnd(this.alive, lock.first));
      return this.runs(this.judged, this.lockDue(lock), to).flatMap(([a, b]) => {
        const missing = this.missing(a, b, this.stopped);
        const called = this.call.some((stands, t) => stands && t >= a && t < b && t >= lock.holdEnds);
        return missing > 0 || called ? [-missing] : [];
      });
    });
  }

  protected lockedMost(): boolean[] {
    const locks = this.locks('most');
    return Array.from({ length: this.n }, (_, t) => locks.some((one) => one.from <= t && t < one.until));
  }
}
