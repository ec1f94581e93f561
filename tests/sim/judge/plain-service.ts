/** The rules of the plain evaluator about serving a call: resume and no-nuisance. */
import type { Answer, SensorTrace } from '../../../sim/judge/index.ts';
import { PlainEpisodes } from './plain-episodes.ts';
import { S } from './plain-signals.ts';

export class PlainService extends PlainEpisodes {
  protected isWell(sensor: SensorTrace, t: number): boolean {
    const lifeFrom = this.runStart(this.alive, t);
    const answers = sensor.requests.flatMap(({ atMs, answer }) =>
      atMs >= lifeFrom * S && answer !== null && answer.atMs <= t * S ? [answer] : [],
    );
    const last = answers.at(-1);
    const number = this.number(answers.filter((one) => one.state !== 'warming-up'));
    const low = number === undefined || (number !== null && number < this.policy.clearBelowPercentLfl);
    const quiet = last?.state === 'measuring' && !last.gasBit && last.selfTestPassed;
    const mine = this.whys.filter((why) => why.sensor === sensor.id);
    const reasonless = !mine.some((why) => why.from <= t && t < why.strictEnd);
    return quiet && low && reasonless && !this.isUnheard(sensor, t, lifeFrom);
  }

  /** The requests of one life, as often as they are asked for. */
  readonly #lives = new Map<SensorTrace, Map<number, SensorTrace['requests']>>();

  protected lifeOf(sensor: SensorTrace, lifeFrom: number): SensorTrace['requests'] {
    const lives = this.#lives.get(sensor) ?? new Map<number, SensorTrace['requests']>();
    this.#lives.set(sensor, lives);
    const life =
      lives.get(lifeFrom) ??
      sensor.requests.filter(
        (one) => one.atMs >= lifeFrom * S && this.sameLife(lifeFrom, (one.answer ?? one).atMs / S),
      );
    lives.set(lifeFrom, life);
    return life;
  }

  /** Inside a silence that an answer ended once `silentAfter` had passed, to the very moment or later. */
  protected isUnheard(sensor: SensorTrace, t: number, lifeFrom: number): boolean {
    const life = this.lifeOf(sensor, lifeFrom);
    const next = life.findIndex(({ answer }) => answer !== null && answer.atMs > t * S);
    const last = life.findLastIndex(({ answer }, index) => index < next && answer !== null);
    const first = life[last + 1];
    if (next < 0 || first?.answer !== null || first.atMs > t * S) return false;
    return (life[next]?.answer?.atMs ?? 0) - first.atMs >= this.policy.silentAfterMs;
  }

  protected resume(): number[] {
    const limit = (this.policy.holdMs + this.policy.resumeWithinMs) / S;
    const [missing, locked] = [this.missingAirflow(), this.lockedMost()];
    const may = Array.from(
      { length: this.n },
      (_, t) =>
        this.judged[t] === true &&
        this.call[t] === true &&
        missing[t] === false &&
        locked[t] === false &&
        this.trace.sensors.every((sensor) => this.isWell(sensor, t)),
    );
    const waits = this.runs(may.map((stands, t) => stands && this.stopped[t] === true)).flatMap(([a, b]) => {
      const served = b < this.n && may[b] === true;
      return served || b - a >= limit ? [limit - (b - a)] : [];
    });
    const begins = (series: readonly boolean[], t: number): boolean =>
      series[t] === true && series[t - 1] !== true;
    const serving = this.stopped.map((stopped) => !stopped);
    const atOnce = may.flatMap((_, t) => (begins(may, t) && begins(serving, t) ? [limit] : []));
    return [...waits, ...atOnce];
  }

  protected noNuisance(): number[] {
    const limit = (this.policy.silentAfterMs + this.policy.respondWithinMs) / S;
    const locked = this.lockedMost();
    const margins: number[] = [];
    for (let t = 1; t < this.n; t += 1) {
      const both = (series: readonly boolean[]): boolean => series[t - 1] === true && series[t] === true;
      const stops = this.stopped[t - 1] === false && this.stopped[t] === true;
      if (!stops || !both(this.call) || !both(this.judged)) continue;
      let at = t;
      while (this.judged[at - 1] === true && !this.excuses(at, locked)) at -= 1;
      margins.push(limit - (t - at));
    }
    const served = this.call.map((call, t) => call && !this.stopped[t] && this.judged[t] === true);
    const tested =
      this.runs(served).some(([a, b]) => b - a >= 300) ||
      this.trace.sensors.some((sensor) =>
        this.goodAnswers(sensor).some(
          ({ gasPercentLfl: gas, atMs }) =>
            typeof gas === 'number' && gas > 0 && gas < this.policy.clearBelowPercentLfl && served[atMs / S],
        ),
      );
    if (!tested) return margins.filter((margin) => margin < 0);
    return margins.length > 0 ? margins : [limit];
  }

  protected goodAnswers(sensor: SensorTrace): Answer[] {
    return sensor.requests.flatMap(({ atMs, answer }) => {
      const heard = answer !== null && this.sameLife(atMs / S, answer.atMs / S);
      return heard && answer.state !== 'warming-up' ? [answer] : [];
    });
  }

  protected sameLife(a: number, b: number): boolean {
    return this.alive[a] === true && this.runEnd(this.alive, a) > b;
  }

  /** At t there was, or had just ended, a reason; or there was a sign of one. */
  protected excuses(t: number, locked: readonly boolean[]): boolean {
    if (this.whys.some((why) => why.from <= t && t <= why.strictEnd)) return true;
    if (locked[t] === true || locked[t - 1] === true) return true;
    if (this.commandsLost[t] === true || this.commandsLost[t - 1] === true) return true;
    if (this.airflow[t] === false || this.airflow[t - 1] === false) return true;
    if (this.calls.some((call) => call[t - 1] === true && call[t] === false)) return true;
    return this.trace.sensors.some((sensor) => {
      if (sensor.requests.some((one) => one.atMs === t * S && one.answer === null && this.alive[t]))
        return true;
      return sensor.requests.some(({ atMs, answer }) => {
        if (answer?.atMs !== t * S || !this.sameLife(atMs / S, t)) return false;
        if (answer.state === 'warming-up' || !answer.selfTestPassed) return true;
        const gas = answer.gasPercentLfl;
        if (typeof gas === 'number' && gas >= this.policy.clearBelowPercentLfl) return true;
        return this.counterRests(sensor, answer);
      });
    });
  }

  protected counterRests(sensor: SensorTrace, answer: Answer): boolean {
    if (answer.state === 'failed' || answer.counter === undefined) return false;
    const pauseMs = Math.max(this.policy.silentAfterMs, this.policy.askWithinMs);
    const good = this.goodAnswers(sensor).filter(
      (one) => one.atMs <= answer.atMs && this.sameLife(one.atMs / S, answer.atMs / S),
    );
    const frozenBefore = this.whys.some(
      (why) =>
        why.kind === 'frozen' &&
        why.sensor === sensor.id &&
        why.from * S < answer.atMs &&
        answer.atMs < why.strictEnd * S,
    );
    if (frozenBefore) return true;
    let first = good.length - 1;
    for (;;) {
      const [before, here] = [good[first - 1], good[first]];
      if (before === undefined || here === undefined || before.state === 'failed') break;
      if (before.counter !== answer.counter || here.atMs - before.atMs > pauseMs) break;
      first -= 1;
    }
    return answer.atMs - (good[first]?.atMs ?? answer.atMs) > S;
  }
}
