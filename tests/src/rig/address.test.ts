/** An address as text and as values: there and back, every way to write it wrong, and who is in whose way. */
import { describe, expect, test } from 'vitest';
import {
  ADDRESS_EXAMPLES,
  addressText,
  type BusAddress,
  clashes,
  framingOf,
  parseAddress,
  supervisorAddress,
} from '../../../src/rig/index.ts';

/** Throws on what is no address. */
function address(text: string): BusAddress {
  const parsed = parseAddress(text);
  if (typeof parsed === 'string') throw new Error(parsed);
  return parsed;
}

describe('an address reads as', () => {
  test.each<[string, BusAddress]>([
    ['tcp://127.0.0.1:1502', { kind: 'tcp', host: '127.0.0.1', port: 1502 }],
    ['  tcp://bench.local:0 ', { kind: 'tcp', host: 'bench.local', port: 0 }],
    ['tcp://[::1]:65535', { kind: 'tcp', host: '::1', port: 65_535 }],
    ['rtu+tcp://localhost:1503', { kind: 'rtu+tcp', host: 'localhost', port: 1503 }],
    // MB-SER 2.2.1 and 2.5.1: 19 200 bits a second, even parity, one stop bit.
    ['rtu:///dev/ttyUSB0', { kind: 'rtu', path: '/dev/ttyUSB0', baud: 19_200, parity: 'even', stopBits: 1 }],
    ['rtu://COM3?baud=9600', { kind: 'rtu', path: 'COM3', baud: 9600, parity: 'even', stopBits: 1 }],
    // Without parity a second stop bit keeps the character at 11 bits.
    ['rtu:///dev/a?parity=none', { kind: 'rtu', path: '/dev/a', baud: 19_200, parity: 'none', stopBits: 2 }],
    [
      'rtu:///dev/a?stop=1&parity=none&baud=1000000',
      { kind: 'rtu', path: '/dev/a', baud: 1_000_000, parity: 'none', stopBits: 1 },
    ],
    [
      'rtu:///dev/a?parity=odd&stop=2',
      { kind: 'rtu', path: '/dev/a', baud: 19_200, parity: 'odd', stopBits: 2 },
    ],
  ])('%s', (text, values) => {
    expect(parseAddress(text)).toEqual(values);
  });
});

describe('what is no address is told with what to write', () => {
  test.each([
    '',
    'tcp',
    '127.0.0.1:1502',
    'tcp://127.0.0.1',
    'tcp://:1502',
    'tcp://h:123456',
    'tcp://h:1502/path',
    'tcp://[nowhere]:1',
    'udp://h:1502',
    'rtu+udp://h:1502',
    'rtu+tcp:///dev/ttyUSB0',
    'rtu://',
    'rtu://?baud=9600',
    'rtu:///dev/tty USB0',
  ])('%s', (text) => {
    expect(parseAddress(text)).toBe(`"${text}" is not an address; write ${ADDRESS_EXAMPLES}`);
  });

  test('a port past the last', () => {
    expect(parseAddress('tcp://h:65536')).toBe('port 65536 is past 65535, the last there is');
  });

  test.each([
    ['?bauds=9600', 'a serial line has no "bauds"; did you mean "baud"?'],
    ['?colour=red', 'a serial line has no "colour"; it takes baud, parity, stop'],
    ['?baud=299', 'baud takes bits a second, 300 to 1000000, such as 19200'],
    ['?baud=1000001', 'baud takes bits a second, 300 to 1000000, such as 19200'],
    ['?baud=9600.5', 'baud takes bits a second, 300 to 1000000, such as 19200'],
    ['?baud=', 'baud takes bits a second, 300 to 1000000, such as 19200'],
    ['?baud=fast', 'baud takes bits a second, 300 to 1000000, such as 19200'],
    ['?parity=mark', 'parity takes none, even or odd'],
    ['?parity=', 'parity takes none, even or odd'],
    ['?stop=3', 'stop takes 1 or 2 stop bits'],
    ['?stop=1.5', 'stop takes 1 or 2 stop bits'],
  ])('rtu:///dev/ttyUSB0%s', (settings, says) => {
    expect(parseAddress(`rtu:///dev/ttyUSB0${settings}`)).toBe(says);
  });

  test('the examples are addresses themselves', () => {
    const examples = ADDRESS_EXAMPLES.split(/, | or /u);
    expect(examples.map((example) => addressText(address(example)))).toEqual(examples);
  });
});

describe('an address comes back from its text', () => {
  const sockets = (['tcp', 'rtu+tcp'] as const).flatMap((kind) =>
    ['127.0.0.1', 'bench.local', '::1', 'fe80::1'].map((host) => ({ kind, host, port: 1502 })),
  );
  const ports = (['none', 'even', 'odd'] as const).flatMap((parity) =>
    ([1, 2] as const).map(
      (stopBits) => ({ kind: 'rtu', path: '/dev/ttyS1', baud: 38_400, parity, stopBits }) as const,
    ),
  );
  test.each<BusAddress>([...sockets, ...ports])('%o', (one) => {
    expect(parseAddress(addressText(one))).toEqual(one);
  });

  test('which says nothing that goes without saying', () => {
    expect(addressText(address('rtu:///dev/a?parity=none&stop=2'))).toBe(
      'rtu:///dev/a?baud=19200&parity=none',
    );
    expect(addressText(address('rtu:///dev/a?parity=none&stop=1'))).toBe(
      'rtu:///dev/a?baud=19200&parity=none&stop=1',
    );
    expect(addressText(address('tcp://[::1]:502'))).toBe('tcp://[::1]:502');
  });
});

test.each([
  ['tcp://h:1', 'tcp://h:1', true],
  ['tcp://h:1', 'rtu+tcp://h:1', true],
  ['tcp://h:1', 'tcp://h:2', false],
  ['tcp://h:1', 'tcp://i:1', false],
  ['tcp://h:0', 'tcp://h:0', false],
  ['rtu:///dev/a', 'rtu:///dev/a?baud=9600', true],
  ['rtu:///dev/a', 'rtu:///dev/b', false],
  ['tcp://h:1', 'rtu:///dev/a', false],
  ['rtu:///dev/a', 'tcp://h:1', false],
])('%s and %s are in each other’s way: %s', (one, other, both) => {
  expect(clashes(address(one), address(other))).toBe(both);
});

describe('a supervisor in the same process', () => {
  test.each([
    [['tcp://h:1', 'rtu+tcp://h:2'], 'tcp://h:1', 'mbap'],
    [['rtu+tcp://h:2', 'tcp://h:1'], 'rtu+tcp://h:2', 'rtu'],
    // A serial port cannot be opened twice.
    [['rtu:///dev/a', 'tcp://h:1'], 'tcp://h:1', 'mbap'],
    [['rtu:///dev/a', 'rtu:///dev/b'], null, 'rtu'],
  ])('of a line at %s asks at %s, in %s frames', (texts, at, framing) => {
    const listen = texts.map(address);
    const found = supervisorAddress(listen);
    expect(found === null ? null : addressText(found)).toBe(at);
    expect(framingOf({ listen })).toBe(framing);
  });
});
