/**
 * What a monitoring system reads: few figures, named after the Prometheus rules (base units, `_total` for
 * counters, `_info` for constants, no label whose values the outside chooses).
 *
 * A figure that is not known is left out: a scrape must not show the last number for the present one.
 */
import type { FastifyInstance } from 'fastify';
import { Counter, Gauge, Histogram, Registry } from 'prom-client';
import type { EventRecord } from '../record/index.ts';
import type { BenchPort } from './bench-port.ts';
import type { EventStreams } from './stream.ts';

const PERCENT = 100;
/** From a snapshot out of memory to a page of events from the disk. */
const DURATION_BUCKETS_S = [0.001, 0.005, 0.02, 0.1, 0.5, 2];

export interface MetricSources {
  readonly port: BenchPort;
  readonly record: EventRecord;
  readonly streams: EventStreams;
  readonly version: string;
}

export function benchMetrics(app: FastifyInstance, sources: MetricSources): Registry {
  const registry = new Registry();
  const registers = [registry];
  new Gauge({
    name: 'leakbench_build_info',
    help: 'Always 1; the version is the label.',
    labelNames: ['version'],
    registers,
  })
    .labels(sources.version)
    .set(1);
  recordFigures(registers, sources.record);
  recordTrouble(registers, sources.record);
  streamFigures(registers, sources.streams);
  supervisorFigures(registers, sources.port);
  countRequests(app, registers);
  return registry;
}

function recordFigures(registers: Registry[], record: EventRecord): void {
  const events = new Counter({
    name: 'leakbench_record_events_total',
    help: 'Events stored since the start, by severity.',
    labelNames: ['severity'],
    registers,
  });
  record.subscribe((stored) => {
    for (const event of stored) events.inc({ severity: event.data.severity });
  });
  new Gauge({
    name: 'leakbench_record_last_sequence',
    help: 'Sequence of the last event in the record.',
    registers,
    collect() {
      this.set(record.lastSequence());
    },
  });
}

function recordTrouble(registers: Registry[], record: EventRecord): void {
  new Gauge({
    name: 'leakbench_record_failing',
    help: '1 while the record takes no events: nothing is released until it does.',
    registers,
    collect() {
      this.set(record.trouble() === null ? 0 : 1);
    },
  });
  new Gauge({
    name: 'leakbench_record_first_sequence',
    help: 'Sequence of the oldest event that is in the record yet.',
    registers,
    collect() {
      this.set(record.firstSequence());
    },
  });
}

function streamFigures(registers: Registry[], streams: EventStreams): void {
  new Gauge({
    name: 'leakbench_stream_clients',
    help: 'Clients of the event stream.',
    registers,
    collect() {
      this.set(streams.clients);
    },
  });
  new Counter({
    name: 'leakbench_stream_slow_clients_total',
    help: 'Clients of the event stream that were closed because they read too slowly.',
    registers,
    collect() {
      this.reset();
      this.inc(streams.slowClients);
    },
  });
}

function supervisorFigures(registers: Registry[], port: BenchPort): void {
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

/**
 * Routes are labels by their pattern, and what has no route is one of them, so that their number is fixed.
 */
function countRequests(app: FastifyInstance, registers: Registry[]): void {
  const durations = new Histogram({
    name: 'leakbench_http_request_duration_seconds',
    help: 'Time to answer a request.',
    labelNames: ['method', 'route', 'status'],
    buckets: DURATION_BUCKETS_S,
    registers,
  });
  app.addHook('onResponse', (request, reply, done) => {
    const route = request.routeOptions.url ?? 'none';
    const method = request.routeOptions.url === undefined ? 'any' : request.method;
    durations.observe({ method, route, status: String(reply.statusCode) }, reply.elapsedTime / 1000);
    done();
  });
}
