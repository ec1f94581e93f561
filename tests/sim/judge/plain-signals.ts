/** What the plain evaluator reads off a trace, second by second, and how it finds stretches of it. */
import type { JudgedPolicy, Signal, Trace } from '../../../sim/judge/index.ts';

export const S = 1000;

export class PlainSignals {
  protected readonly trace: Trace;
  protected readonly policy: JudgedPolicy;
  protected readonly n: number;
  protected readonly alive: boolean[];
  protected readonly judged: boolean[];
  protected readonly mitigation: boolean[];
  protected readonly stopped: boolean[];
  protected readonly call: boolean[];
  /** For cooling, and for heating where there is heat. */
  protected readonly calls: readonly boolean[][];
  protected readonly fan: boolean[];
  protected readonly airflow: boolean[];
  protected readonly commandsLost: boolean[];

  constructor(trace: Trace, policy: JudgedPolicy) {
    this.trace = trace;
    this.policy = policy;
    this.n = trace.endMs / S;
    const second = (pick: (t: number) => boolean): boolean[] =>
      Array.from({ length: this.n }, (_, t) => pick(t));
    const out = (name: string): boolean[] => this.series(trace.outputs.get(name) ?? []);
    const inp = (name: string): boolean[] => this.series(trace.inputs.get(name) ?? []);
    const [rig, controller, io] = [trace.rigPower, trace.controllerPower, trace.fieldIoAnswers].map((one) =>
      this.series(one),
    ) as [boolean[], boolean[], boolean[]];
    const fire = inp('fire');
    this.alive = second((t) => rig[t] === true && controller[t] === true);
    this.judged = second((t) => this.alive[t] === true && io[t] === true && fire[t] === false);
    this.fan = out('fan');
    this.airflow = inp('airflow');
    this.commandsLost = this.series(trace.commandsLost);
    const damper = out('damper');
    const running = [out('heat'), ...policy.circuits.map((circuit) => out(`compressor.${circuit}`))];
    this.stopped = second((t) => running.every((one) => one[t] !== true));
    this.mitigation = second((t) => this.stopped[t] === true && this.fan[t] === true && damper[t] === true);
    const [cooling, heating] = [inp('call.cooling'), inp('call.heating')];
    this.calls = [cooling, ...(trace.outputs.has('heat') ? [heating] : [])];
    this.call = second((t) => this.calls.some((call) => call[t] === true));
  }

  protected value<Value>(signal: Signal<Value>, t: number): Value | undefined {
    return signal.filter((change) => change.atMs <= t * S).at(-1)?.value;
  }

  protected series(signal: Signal<boolean>): boolean[] {
    return Array.from({ length: this.n }, (_, t) => this.value(signal, t) === true);
  }

  /** Maximal runs of true, as [from, to). */
  protected runs(series: readonly boolean[], from = 0, to = this.n): [number, number][] {
    const runs: [number, number][] = [];
    for (let t = from; t < Math.min(to, this.n); t += 1) {
      if (series[t] !== true) continue;
      const last = runs.at(-1);
      if (last?.[1] === t) last[1] = t + 1;
      else runs.push([t, t + 1]);
    }
    return runs;
  }

  protected runEnd(series: readonly boolean[], t: number): number {
    let end = t;
    while (end < this.n && series[end] === true) end += 1;
    return end;
  }

  protected runStart(series: readonly boolean[], t: number): number {
    let start = t;
    while (start > 0 && series[start - 1] === true) start -= 1;
    return start;
  }

  protected r(): number {
    return this.policy.respondWithinMs / S;
  }

  protected holdS(): number {
    return this.policy.holdMs / S;
  }

  protected missingAirflow(): boolean[] {
    const proof = this.policy.fanProofWithinMs / S;
    const bare = this.fan.map((fan, t) => fan && this.airflow[t] === false && this.judged[t] === true);
    return bare.map((stands, t) => stands && t - this.runStart(bare, t) >= proof);
  }
}
