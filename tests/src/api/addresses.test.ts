import { describe, expect, test } from 'vitest';
import { isLoopback, isLoopbackHeader, isLoopbackPeer, isSameHost } from '../../../src/api/addresses.ts';

describe('loopback', () => {
  test.each(['localhost', 'LOCALHOST', '127.0.0.1', '127.9.9.9', '::1', '[::1]'])('is %s', (host) => {
    expect(isLoopback(host)).toBe(true);
  });

  test.each(['0.0.0.0', '::', '10.0.0.5', 'localhost.evil.example', '127.0.0.1.evil.example', '', 'fe80::1'])(
    'is not %j',
    (host) => {
      expect(isLoopback(host)).toBe(false);
    },
  );

  test.each(['localhost', 'localhost:7580', '127.0.0.1:7580', '[::1]:7580', '[::1]'])(
    'is a Host of %s',
    (host) => {
      expect(isLoopbackHeader(host)).toBe(true);
    },
  );

  test.each([
    undefined,
    '',
    'evil.example',
    'localhost.evil.example:7580',
    '127.0.0.1@evil.example',
    '::1:7580',
  ])('is not a Host of %j', (host) => {
    expect(isLoopbackHeader(host)).toBe(false);
  });

  test('is a peer by either family of addresses', () => {
    expect(['127.0.0.1', '::1', '::ffff:127.0.0.1'].map(isLoopbackPeer)).toEqual([true, true, true]);
    expect(['10.0.0.5', '::ffff:10.0.0.5', 'fe80::1'].map(isLoopbackPeer)).toEqual([false, false, false]);
  });
});

describe('the page that asks and the host that is asked are the same', () => {
  test.each([
    ['http://bench.example:7580', 'bench.example:7580'],
    ['http://bench.example', 'bench.example'],
    ['http://bench.example', 'bench.example:80'],
    ['https://bench.example', 'bench.example'],
    ['https://BENCH.example', 'bench.EXAMPLE'],
    ['http://[::1]:7580', '[::1]:7580'],
  ])('for %s at %s', (origin, host) => {
    expect(isSameHost(origin, host)).toBe(true);
  });

  test.each([
    ['http://evil.example', 'bench.example'],
    ['http://bench.example:9999', 'bench.example:7580'],
    ['http://bench.example.evil.example', 'bench.example'],
    ['null', 'bench.example'],
    ['', 'bench.example'],
    ['file:///tmp/page.html', ''],
    ['http://bench.example', undefined],
    ['http://bench.example', 'a b'],
  ])('but not for %j at %j', (origin, host) => {
    expect(isSameHost(origin, host)).toBe(false);
  });
});
