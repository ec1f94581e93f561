/** The parts of a rig among which a class says where something is wrong. */

/** As much of a rig as its parts are named after. */
interface Parts {
  readonly sensors: readonly { readonly id: string }[];
  readonly lines: readonly { readonly id: string }[];
  readonly circuits: readonly string[];
}

export interface Part {
  readonly id: string;
  readonly words: string;
}

/** In the order in which the ring is walked, from the air to the equipment. */
export function partsOf({ sensors, lines, circuits }: Parts): readonly Part[] {
  return [
    { id: 'room', words: 'The air of room and cabinet' },
    ...sensors.map(({ id }) => ({ id, words: `Sensor ${id}` })),
    ...lines.map(({ id }) => ({ id: `line ${id}`, words: `Modbus line ${id}` })),
    { id: 'controller', words: 'The controller' },
    { id: 'fan', words: 'The fan' },
    { id: 'airflow', words: 'The airflow switch' },
    ...circuits.map((circuit) => ({ id: `compressor.${circuit}`, words: `Compressor ${circuit}` })),
  ];
}
