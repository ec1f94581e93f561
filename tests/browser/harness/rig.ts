/** The demo rig as GET /api/v1/rig would give it; checked against the port's own schema. */
import { type RigView, rigViewSchema } from '../../../src/api/rig-view-schema.ts';
import { DEMO_POLICY } from '../../helpers/demo-policy.ts';

const once = { chance: 'once', parameters: [] };
const eachRequest = { chance: 'each request', parameters: [] };
const modbus = (serial: string, unitId: number) => ({ serial, unitId, line: 'main' });

export const RIG: RigView = rigViewSchema.parse({
  name: 'Tide Street Library, archive room',
  refrigerant: { name: 'R-32', lflKgPerM3: 0.307, source: 'ISO 817:2014 table' },
  chargeKg: 4.2,
  room: { floorM2: 24, heightM: 2.5, volumeM3: 60 },
  cabinet: { volumeM3: 1.2 },
  fan: { airflowM3PerH: 900, spinUpMs: 4000 },
  circuits: ['a', 'b'],
  heat: true,
  lines: [{ id: 'main', address: 'tcp://127.0.0.1:1502' }],
  sensors: [
    { id: 'coil-a', at: 'cabinet', kind: 'modbus', where: 'line main, unit 11', ...modbus('240811', 11) },
    { id: 'coil-b', at: 'cabinet', kind: 'modbus', where: 'line main, unit 12', ...modbus('240812', 12) },
    {
      id: 'grille',
      at: 'room-low',
      kind: 'contact',
      where: 'input 8, opens on gas',
      serial: null,
      unitId: null,
      line: null,
    },
  ],
  policy: DEMO_POLICY,
  setpoint: { percentLfl: 20, clearBelow: 18, source: 'the rig file; the published limit is 25 %LFL' },
  warnings: ['grille opens on gas and is wired to input 8: a broken wire reads as gas'],
  faultKinds: [
    { kind: 'silent', targets: ['sensor'], meaning: 'does not answer', ...eachRequest },
    {
      kind: 'stuck',
      targets: ['sensor'],
      meaning: 'its number stays where it is, its state goes on',
      ...once,
    },
    {
      kind: 'offset',
      targets: ['sensor'],
      meaning: 'reads so much too high or too low',
      chance: 'once',
      parameters: [
        {
          name: 'by',
          takes: 'an amount of gas, also below zero, such as -5 %LFL',
          example: '5 %LFL',
          choices: null,
          optional: false,
          time: false,
        },
      ],
    },
    { kind: 'no-power', targets: ['sensor', 'contact'], meaning: 'has no supply', ...once },
    { kind: 'wire-open', targets: ['contact'], meaning: 'its wire is broken', ...once },
    { kind: 'fan-dead', targets: ['fan'], meaning: 'the fan does not turn', ...once },
    {
      kind: 'airflow-switch-stuck',
      targets: ['airflow'],
      meaning: 'the airflow switch stays as it is',
      ...once,
    },
    { kind: 'compressor-welded', targets: ['compressor'], meaning: 'its contactor is welded', ...once },
    { kind: 'output-stuck', targets: ['output'], meaning: 'the terminal stays as it is', ...once },
    { kind: 'io-silent', targets: ['fieldIo'], meaning: 'the field I/O does not answer', ...eachRequest },
  ],
  places: ['cabinet', 'room-low', 'room-high'],
  cautions: [
    'Simulation only: not a safety device, not certified or listed, not to be used to prove compliance.',
    'Never connect simulated sensors to equipment that holds flammable refrigerant.',
    'A well-mixed model understates peaks near the floor and the leak.',
  ],
});
