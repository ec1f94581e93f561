/** Names and lines after the Prometheus documentation ("Metric and label naming", "Text format"). */
import { describe, expect, test } from 'vitest';
import { gas, pressed } from '../record/facts.ts';
import { ask } from './ask.ts';
import { type OpenApi, openApi } from './open-api.ts';
import { snapshotWith } from './small-bench.ts';
import { openStream } from './stream-client.ts';

/** Value by line, as `name{labels}`. */
async function figures({ url }: OpenApi): Promise<ReadonlyMap<string, number>> {
  const { text, headers } = await ask(`${url}/metrics`);
  expect(headers['content-type']).toMatch(/^text\/plain; version=0\.0\.4/u);
  const samples = text.split('\n').filter((line) => line !== '' && !line.startsWith('#'));
  return new Map(
    samples.map((line) => {
      const [, name = '', value] = /^(\S+(?:\{.*\})?) (\S+)$/u.exec(line) ?? [];
      expect(name).not.toBe('');
      return [name, Number(value)];
    }),
  );
}

describe('the metrics', () => {
  test('have names with one prefix, base units, and _total for what only grows', async () => {
    const api = await openApi();
    const { text } = await ask(`${api.url}/metrics`);
    const types = [...text.matchAll(/^# TYPE (\S+) (\S+)$/gmu)].map(([, name = '', type = '']) => ({
      name,
      type,
    }));
    expect(types.length).toBeGreaterThan(5);
    for (const { name, type } of types) {
      expect(name).toMatch(/^(?:leakbench|process)_[a-z_]+$/u);
      expect(name.endsWith('_total')).toBe(type === 'counter');
      expect(name).not.toMatch(/percent|_ms$|milli|_info_/u);
      expect(text).toContain(`# HELP ${name} `);
    }
  });

  test('tell the version', async () => {
    expect((await figures(await openApi())).get('leakbench_build_info{version="9.8.7"}')).toBe(1);
  });

  test('count what is stored, by severity, and say where the record ends', async () => {
    const api = await openApi();
    api.record.append([pressed(1), gas(2), gas(3)]);
    const all = await figures(api);
    expect(all.get('leakbench_record_events_total{severity="notice"}')).toBe(1);
    expect(all.get('leakbench_record_events_total{severity="trace"}')).toBe(2);
    expect(all.get('leakbench_record_last_sequence')).toBe(3);
  });

  test('say whether the record takes events, and where it begins', async () => {
    let trouble: string | null = null;
    const api = await openApi({ limitBytes: 8, seen: (record) => ({ ...record, trouble: () => trouble }) });
    for (const n of [1, 2, 3]) api.record.append([pressed(n)]);
    const before = await figures(api);
    expect(before.get('leakbench_record_failing')).toBe(0);
    expect(before.get('leakbench_record_first_sequence')).toBe(api.record.firstSequence());
    trouble = 'no room';
    expect((await figures(api)).get('leakbench_record_failing')).toBe(1);
  });

  test('count the clients of the stream', async () => {
    const api = await openApi();
    expect((await figures(api)).get('leakbench_stream_clients')).toBe(0);
    await openStream(api.url);
    expect((await figures(api)).get('leakbench_stream_clients')).toBe(1);
  });

  test('show what the supervisor knows, and nothing where it does not know', async () => {
    const all = await figures(await openApi());
    expect(all.get('leakbench_supervisor_state{state="mitigating"}')).toBe(1);
    expect(all.get('leakbench_sensor_answering{sensor="coil-a"}')).toBe(1);
    expect(all.get('leakbench_sensor_lfl_ratio{sensor="coil-a"}')).toBe(0.25);
    // It does not answer: its last number is not one of now.
    expect(all.get('leakbench_sensor_answering{sensor="coil-b"}')).toBe(0);
    expect(all.has('leakbench_sensor_lfl_ratio{sensor="coil-b"}')).toBe(false);
    // A contact gives no number.
    expect(all.has('leakbench_sensor_lfl_ratio{sensor="grille"}')).toBe(false);
  });

  test('show nothing of a supervisor that is elsewhere', async () => {
    const api = await openApi();
    await figures(api);
    api.bench.shown = snapshotWith(null);
    const names = [...(await figures(api)).keys()];
    expect(names.filter((name) => /supervisor|sensor/u.test(name))).toEqual([]);
  });

  test('count polls by line and outcome, and time those that are answered', async () => {
    const api = await openApi();
    await figures(api);
    api.bench.polled({ line: 'main', outcome: 'answered', tookMs: 30, lateMs: 4 });
    api.bench.polled({ line: 'main', outcome: 'answered', tookMs: 3, lateMs: null });
    api.bench.polled({ line: 'main', outcome: 'silent', tookMs: 300, lateMs: null });
    api.bench.polled({ line: 'roof', outcome: 'refused', tookMs: 3, lateMs: 700 });
    const all = await figures(api);
    expect(all.get('leakbench_polls_total{line="main",outcome="answered"}')).toBe(2);
    expect(all.get('leakbench_polls_total{line="main",outcome="silent"}')).toBe(1);
    expect(all.get('leakbench_polls_total{line="roof",outcome="refused"}')).toBe(1);
    expect(all.get('leakbench_poll_duration_seconds_sum{line="main"}')).toBeCloseTo(0.033);
    expect(all.get('leakbench_poll_duration_seconds_bucket{le="0.005",line="main"}')).toBe(1);
    expect(all.get('leakbench_poll_duration_seconds_count{line="main"}')).toBe(2);
    expect(all.has('leakbench_poll_duration_seconds_count{line="roof"}')).toBe(false);
    expect(all.get('leakbench_poll_lateness_seconds_count{line="main"}')).toBe(1);
    expect(all.get('leakbench_poll_lateness_seconds_bucket{le="0.5",line="roof"}')).toBe(0);
    expect(all.get('leakbench_poll_lateness_seconds_bucket{le="1",line="roof"}')).toBe(1);
  });

  test('tell which lines are connected, and what waits for the record or for slow readers', async () => {
    const api = await openApi();
    expect((await figures(api)).has('leakbench_supervisor_unstored_events')).toBe(false);
    api.bench.figures = {
      connected: new Map([
        ['main', true],
        ['roof', false],
      ]),
      unstored: 7,
    };
    const all = await figures(api);
    expect(all.get('leakbench_line_connected{line="main"}')).toBe(1);
    expect(all.get('leakbench_line_connected{line="roof"}')).toBe(0);
    expect(all.get('leakbench_supervisor_unstored_events')).toBe(7);
    expect(all.get('leakbench_stream_queue_bytes')).toBe(0);
    api.bench.figures = null;
    expect([...(await figures(api)).keys()].filter((name) => /line|unstored/u.test(name))).toEqual([]);
  });

  test('tell of the process what every monitoring system asks for', async () => {
    const all = await figures(await openApi());
    expect(all.get('process_resident_memory_bytes')).toBeGreaterThan(10_000_000);
    expect(all.get('process_cpu_seconds_total')).toBeGreaterThan(0);
    const ageS = Date.now() / 1000 - (all.get('process_start_time_seconds') ?? 0);
    expect(ageS).toBeGreaterThan(0);
    expect(ageS).toBeLessThan(86_400);
  });

  test('time requests by route, with one route for all that is none', async () => {
    const api = await openApi();
    for (const path of ['/api/v1/events?after=1', '/api/v1/events?after=2', '/a', '/b'])
      await ask(api.url + path);
    const all = await figures(api);
    const count = 'leakbench_http_request_duration_seconds_count';
    expect(all.get(`${count}{method="GET",route="/api/v1/events",status="200"}`)).toBe(2);
    expect(all.get(`${count}{method="any",route="none",status="404"}`)).toBe(2);
  });

  test('are of one bench alone', async () => {
    const [one, other] = [await openApi(), await openApi()];
    one.record.append([pressed(1)]);
    expect((await figures(other)).get('leakbench_record_last_sequence')).toBe(0);
    expect((await figures(other)).has('leakbench_record_events_total{severity="notice"}')).toBe(false);
  });
});
