import { describe, expect, test } from 'vitest';
import { joinAddresses } from '../../../src/class/index.ts';

const PORT = 7580;
const OWN = [
  { address: '127.0.0.1', internal: true },
  { address: '::1', internal: true },
  { address: '172.17.0.1', internal: false },
  { address: '203.0.113.9', internal: false },
  { address: 'fe80::1', internal: false },
  { address: '169.254.7.7', internal: false },
  { address: 'fd00::5', internal: false },
  { address: '10.0.0.5', internal: false },
  { address: '192.168.1.20', internal: false },
];
const at = (...addresses: readonly string[]) => addresses.map((address) => ({ address, port: PORT }));
const url = (host: string): string => `http://${host}:${PORT}/join/?code=ACDEFH`;

describe('phones find the class', () => {
  test('at every address of the machine where it listens on all, the likeliest first', () => {
    const ipv4 = ['192.168.1.20', '10.0.0.5', '172.17.0.1', '203.0.113.9'].map(url);
    expect(joinAddresses(at('0.0.0.0'), OWN, 'ACDEFH')).toEqual({ joinUrls: ipv4, reachable: true });
    expect(joinAddresses(at('::'), OWN, 'ACDEFH').joinUrls).toEqual([...ipv4, url('[fd00::5]')]);
  });

  test('at the one address that it listens on', () => {
    expect(joinAddresses(at('10.0.0.5'), OWN, 'ACDEFH')).toEqual({
      joinUrls: [url('10.0.0.5')],
      reachable: true,
    });
  });

  test.each([
    [['127.0.0.1'], [url('127.0.0.1')]],
    [
      ['::1', '127.0.0.1'],
      [url('[::1]'), url('127.0.0.1')],
    ],
    [['::ffff:127.0.0.1'], [url('[::ffff:127.0.0.1]')]],
  ])('nowhere where it listens on %j alone', (listening, joinUrls) => {
    expect(joinAddresses(at(...listening), OWN, 'ACDEFH')).toEqual({ joinUrls, reachable: false });
  });

  test.each([
    ['0.0.0.0', '127.0.0.1'],
    ['::', '[::1]'],
  ])('nowhere where it listens on %s of a machine without a network', (wildcard, here) => {
    const alone = OWN.filter(({ internal }) => internal);
    expect(joinAddresses(at(wildcard), alone, 'ACDEFH')).toEqual({ joinUrls: [url(here)], reachable: false });
  });
});
