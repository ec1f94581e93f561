/** What the supervisor is doing, and how the lines answer it. */
import { Counter, Gauge, Histogram, type Registry } from 'prom-client';
import type { BenchPort } from './bench-port.ts';

const PERCENT = 100;
const MS_PER_S = 1000;
/** From a sensor on this machine to the longest time-out that a rig may have. */
const POLL_BUCKETS_S = [0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5];
/** From what a timer is late by in any case to several periods. */
const LATENESS_BUCKETS_S = [0.002, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10];

export function supervisorFigures(registers: Registry[], port: BenchPort): void {
  beliefFigures(registers, port);
  lineFigures(registers, port);
  pollFigures(registers, port);
}

function beliefFigures(registers: Registry[], port: BenchPort): void {
  new Gauge({
    name: 'leakbench_supervisor_state',
    help: '1 for the state that the mitigation is in.',
    labelNames: ['state'],
    registers,
    collect() {
      this.reset();
      const { supervisor } = port.snapshot();
      if (supervisor !== null) this.set({ state: supervisor.state }, 1);
    },
  });
  new Gauge({
    name: 'leakbench_sensor_answering',
    help: '1 while the sensor answers the supervisor, 0 while it does not.',
    labelNames: ['sensor'],
    registers,
    collect() {
      this.reset();
      const sensors = Object.entries(port.snapshot().supervisor?.sensors ?? {});
      for (const [sensor, { answering }] of sensors) this.set({ sensor }, answering ? 1 : 0);
    },
  });
  new Gauge({
    name: 'leakbench_sensor_lfl_ratio',
    help: 'Gas that an answering sensor reports, as a fraction of the lower flammability limit.',
    labelNames: ['sensor'],
    registers,
    collect() {
      this.reset();
      for (const [sensor, { answering, gas }] of Object.entries(port.snapshot().supervisor?.sensors ?? {})) {
        if (answering && gas !== null) this.set({ sensor }, gas / PERCENT);
      }
    },
  });
}

function lineFigures(registers: Registry[], port: BenchPort): void {
  new Gauge({
    name: 'leakbench_line_connected',
    help: '1 while the supervisor has a connection to the line, 0 while it has none.',
    labelNames: ['line'],
    registers,
    collect() {
      this.reset();
      for (const [line, up] of port.supervisorFigures()?.connected ?? []) this.set({ line }, up ? 1 : 0);
    },
  });
  new Gauge({
    name: 'leakbench_supervisor_unstored_events',
    help: 'Events of the supervisor that wait for the record; nothing is released while it takes none.',
    registers,
    collect() {
      // A gauge without labels would begin with a zero that nobody measured.
      this.remove();
      const figures = port.supervisorFigures();
      if (figures !== null) this.set(figures.unstored);
    },
  });
}

function pollFigures(registers: Registry[], port: BenchPort): void {
  const polls = new Counter({
    name: 'leakbench_polls_total',
    help:
      'Polls of the supervisor by outcome: answered, refused (an exception), mismatched (not what was ' +
      'asked), silent (no answer in time, or no connection).',
    labelNames: ['line', 'outcome'],
    registers,
  });
  const durations = new Histogram({
    name: 'leakbench_poll_duration_seconds',
    help: 'Time from a question on a line to its answer; of answered polls, in real time.',
    labelNames: ['line'],
    buckets: POLL_BUCKETS_S,
    registers,
  });
  const lateness = new Histogram({
    name: 'leakbench_poll_lateness_seconds',
    help: 'How late a poll cycle of a line began, in bench time; one longer than its period delays the next.',
    labelNames: ['line'],
    buckets: LATENESS_BUCKETS_S,
    registers,
  });
  port.watchPolls(({ line, outcome, tookMs, lateMs }) => {
    polls.inc({ line, outcome });
    if (outcome === 'answered') durations.observe({ line }, tookMs / MS_PER_S);
    if (lateMs !== null) lateness.observe({ line }, lateMs / MS_PER_S);
  });
}
