/** A rig of many lines with many sensors each, as nobody builds one. */
export function manyLinesRig(lines: number, sensorsALine: number): string {
  const ids = Array.from({ length: lines }, (_, index) => `line-${index + 1}`);
  const sensors = ids.flatMap((line) =>
    Array.from(
      { length: sensorsALine },
      (_, index) => `  - { id: ${line}-${index + 1}, at: room-low, line: ${line}, unitId: ${index + 1} }`,
    ),
  );
  return [
    'rig: 1',
    `name: ${lines} lines of ${sensorsALine}`,
    'refrigerant: R-32',
    'charge: 4.2 kg',
    'room: { floor: 24 m2, height: 2.5 m }',
    'lines:',
    ...ids.map((id) => `  - { id: ${id}, listen: ["tcp://127.0.0.1:0"], pollEvery: 1 s }`),
    'sensors:',
    ...sensors,
    'fieldIo: { line: line-1, unitId: 200 }',
    '',
  ].join('\n');
}
