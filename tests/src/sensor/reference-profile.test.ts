import { describe, expect, test } from 'vitest';
import type { SensorValues } from '../../../src/sensor/index.ts';
import { AT_REST, referenceCodec, referenceProfile } from './reference.ts';

/**
 * The register table of the reference sensor as its document has it (PDU addresses, from 0), written out
 * once more: which value stands where, and how.
 */
const INPUT_REGISTERS: readonly {
  readonly address: number;
  readonly says: string;
  readonly examples: readonly (readonly [Partial<SensorValues>, readonly number[]])[];
}[] = [
  {
    address: 0,
    says: 'state: 1 warming up, 2 measuring, 3 gas, 4 failed',
    examples: [
      [{ state: 'warming-up' }, [1]],
      [{ state: 'measuring' }, [2]],
      [{ state: 'gas' }, [3]],
      [{ state: 'failed' }, [4]],
    ],
  },
  {
    address: 1,
    says: 'bits: 0 gas, 1 self-test passed, 2 failed, 3 service due, 4 saturated',
    examples: [
      [{ selfTestPassed: false }, [0b00000]],
      [{ selfTestPassed: false, gasBit: true }, [0b00001]],
      [{ selfTestPassed: true }, [0b00010]],
      [{ selfTestPassed: false, failedBit: true }, [0b00100]],
      [{ selfTestPassed: false, serviceDue: true }, [0b01000]],
      [{ selfTestPassed: false, saturated: true }, [0b10000]],
      [{ gasBit: true, failedBit: true, serviceDue: true, saturated: true }, [0b11111]],
    ],
  },
  {
    address: 2,
    says: 'gas in 0.1 %LFL, 65535 no valid reading',
    examples: [
      [{ gasPercentLfl: 0 }, [0]],
      [{ gasPercentLfl: 20.1 }, [201]],
      [{ gasPercentLfl: 701.3 }, [7013]],
      [{ gasPercentLfl: null }, [65535]],
    ],
  },
  {
    address: 3,
    says: 'gas in 0.01 % of volume',
    examples: [
      [{ gasPercentVol: 2.89 }, [289]],
      [{ gasPercentVol: 100 }, [10_000]],
      [{ gasPercentVol: null }, [65535]],
    ],
  },
  { address: 4, says: 'setpoint in 0.1 %LFL', examples: [[{ setpointPercentLfl: 20 }, [200]]] },
  {
    address: 5,
    says: 'fault code, 0 none',
    examples: [
      [{ faultCode: 0 }, [0]],
      [{ faultCode: 7 }, [7]],
    ],
  },
  {
    address: 6,
    says: 'hours of operation, two registers, high word first',
    examples: [
      [{ hours: 65535 }, [0, 65535]],
      [{ hours: 65536 + 2 }, [1, 2]],
      [{ hours: 0x89abcdef }, [0x89ab, 0xcdef]],
    ],
  },
  { address: 8, says: 'days of service life left', examples: [[{ serviceDaysLeft: 5475 }, [5475]]] },
  {
    address: 9,
    says: 'temperature in 0.1 °C, signed',
    examples: [
      [{ temperatureC: 20.5 }, [205]],
      [{ temperatureC: -0.1 }, [0xffff]],
      [{ temperatureC: -40 }, [0x10000 - 400]],
    ],
  },
  { address: 10, says: 'measurement counter', examples: [[{ counter: 65535 }, [65535]]] },
  {
    address: 11,
    says: 'refrigerant in ASCII, four registers, filled up with spaces',
    examples: [
      [{ refrigerant: 'R-32' }, [0x522d, 0x3332, 0x2020, 0x2020]],
      [{ refrigerant: 'R-1234ze(E)' }, [0x522d, 0x3132, 0x3334, 0x7a65]],
    ],
  },
  {
    address: 15,
    says: 'serial in ASCII, four registers, filled up with spaces',
    examples: [[{ serial: '240811' }, [0x3234, 0x3038, 0x3131, 0x2020]]],
  },
];

describe('the reference sensor', () => {
  const profile = referenceProfile();

  test.each(INPUT_REGISTERS)('input register $address: $says', ({ address, examples }) => {
    for (const [values, words] of examples) {
      const image = new Uint16Array(19);
      referenceCodec().encode({ ...AT_REST, ...values }, 'input', image);
      expect(Array.from(image.slice(address, address + words.length)), JSON.stringify(values)).toEqual(words);
    }
  });

  test('fills the input registers 0 to 18 without a gap, and nothing else', () => {
    const firsts = [...INPUT_REGISTERS.map(({ address }) => address), 19];
    const lengths = INPUT_REGISTERS.map(({ examples }) => examples[0]?.[1].length ?? 0);
    expect(lengths).toEqual(firsts.slice(1).map((next, index) => next - (firsts[index] ?? 0)));
    expect(referenceCodec().reads).toEqual([{ table: 'input', address: 0, quantity: 19 }]);
  });

  test('takes commands in holding registers 0 to 2, with their values', () => {
    expect(profile.commands).toEqual({
      newAddress: { address: 0 },
      command: { address: 1, values: { selfTest: 1, restart: 2, identify: 3 } },
      writeKey: { address: 2, value: 0xa21c, opensFor: 60_000 },
    });
  });

  test('comes at address 1, changed by a register', () => {
    expect(profile).toMatchObject({ name: 'reference', factoryAddress: 1, addressSetBy: 'register' });
  });

  // Colours after IEC 60073; a slow flash is 0.4 to 0.8 Hz, a normal one 1.4 to 2.8 Hz there (second hand).
  test('has a lamp code in which no two meanings look or read alike', () => {
    expect(profile.lamp).toEqual({
      noPower: { colour: 'off', hz: 0, word: 'no power' },
      warmingUp: { colour: 'white', hz: 0, word: 'warming up' },
      measuring: { colour: 'green', hz: 0, word: 'measuring' },
      gas: { colour: 'red', hz: 2, word: 'gas' },
      failed: { colour: 'yellow', hz: 0.5, word: 'failed' },
      serviceDue: { colour: 'blue', hz: 0, word: 'service due' },
      identify: { colour: 'blue', hz: 0.5, word: 'identify' },
    });
    const lamps = Object.values(profile.lamp);
    expect(new Set(lamps.map(({ colour, hz }) => `${colour} ${hz}`)).size).toBe(lamps.length);
    expect(new Set(lamps.map(({ word }) => word)).size).toBe(lamps.length);
  });
});
