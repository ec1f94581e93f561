/**
 * What a monitoring system reads: few figures, named after the Prometheus rules (base units, `_total` for
 * counters, `_info` for constants, no label whose values the outside chooses).
 *
 * A figure that is not known is left out: a scrape must not show the last number for the present one.
 */
import { performance } from 'node:perf_hooks';
import type { FastifyInstance } from 'fastify';
import { Counter, Gauge, Histogram, Registry } from 'prom-client';
import type { EventRecord } from '../record/index.ts';
import type { BenchPort } from './bench-port.ts';
import { supervisorFigures } from './metrics-supervisor.ts';
import type { EventStreams } from './stream.ts';

const MS_PER_S = 1000;
const US_PER_S = 1_000_000;
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
  processFigures(registers);
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

/** Under the names that every monitoring system knows them by. */
function processFigures(registers: Registry[]): void {
  new Gauge({
    name: 'process_resident_memory_bytes',
    help: 'Memory that the process holds.',
    registers,
    collect() {
      this.set(process.memoryUsage.rss());
    },
  });
  new Gauge({
    name: 'process_start_time_seconds',
    help: 'When the process began, since 1970.',
    registers,
  }).set(Math.round(performance.timeOrigin / MS_PER_S));
  new Counter({
    name: 'process_cpu_seconds_total',
    help: 'Time of a processor that the process has had.',
    registers,
    collect() {
      const { user, system } = process.cpuUsage();
      this.reset();
      this.inc((user + system) / US_PER_S);
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
  new Gauge({
    name: 'leakbench_stream_queue_bytes',
    help: 'Bytes that wait for clients of the event stream to read them, of all clients together.',
    registers,
    collect() {
      this.set(streams.queuedBytes);
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
    durations.observe({ method, route, status: String(reply.statusCode) }, reply.elapsedTime / MS_PER_S);
    done();
  });
}
