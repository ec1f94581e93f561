/** The parts of a rig at which a cause can sit: what a class chooses from, and a solution names. */

export interface RigParts {
  readonly sensors: readonly { readonly id: string; readonly at: string }[];
  readonly lines: readonly { readonly id: string }[];
  readonly circuits: readonly string[];
}

export interface PartChoice {
  readonly id: string;
  readonly words: string;
}

export function partsOf({ sensors, lines, circuits }: RigParts): readonly PartChoice[] {
  return [
    ...sensors.map(({ id, at }) => ({ id, words: `Sensor ${id} (${at})` })),
    ...lines.map(({ id }) => ({ id: `line ${id}`, words: `Modbus line ${id}` })),
    { id: 'controller', words: 'The controller' },
    { id: 'fan', words: 'The fan' },
    { id: 'airflow', words: 'The airflow switch' },
    ...circuits.map((id) => ({ id: `compressor.${id}`, words: `Compressor ${id}` })),
    { id: 'cabinet', words: 'The cabinet' },
    { id: 'room', words: 'The room' },
  ];
}
