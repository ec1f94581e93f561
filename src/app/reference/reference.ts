/** The reference as Markdown, all of it from the tables and schemas that the bench itself goes by. */
import type { Command } from 'commander';
import { drillJsonSchema } from '../../../sim/drill/json-schema.ts';
import { FAULTS, parametersTold, type Row } from '../../../sim/faults/index.ts';
import { CATALOGUE, typeOf } from '../../events/index.ts';
import type { JsonSchema } from '../../files/index.ts';
import { rigJsonSchema } from '../../rig/json-schema.ts';
import { profileJsonSchema } from '../../sensor/json-schema.ts';
import { CAUTIONS } from '../cautions.ts';
import { commandsTold } from './commands.ts';
import { keysTold } from './files.ts';
import { code, table } from './markdown.ts';
import { registersTold } from './registers.ts';
import { rulesTold } from './rules.ts';
import { signalsTold } from './signals.ts';
import { TOPICS, type Topic } from './topics.ts';

/** By topic: its heading, and what writes it. */
const PARTS: Readonly<Record<Topic, readonly [string, (program: Command) => string]>> = {
  commands: ['Commands', commandsTold],
  rules: ['Rules', rulesTold],
  faults: ['Faults', faults],
  events: ['Events', events],
  registers: ['Registers', registersTold],
  signals: ['Conditions and their signals', signalsTold],
  rig: ['The rig file', () => keysTold(rigJsonSchema())],
  drill: ['The drill file', () => keysTold(withoutFaults())],
  profile: ['The profile file', () => keysTold(profileJsonSchema())],
};

/** Of one topic, or of all. */
export function reference(program: Command, topic: Topic | undefined): string {
  const wanted = topic === undefined ? TOPICS : [topic];
  const parts = wanted.map((name) => {
    const [heading, write] = PARTS[name];
    return `## ${heading}\n\n${write(program)}`;
  });
  return `${[`# leakbench: reference`, CAUTIONS[0], ...parts].join('\n\n')}\n`;
}

function faults(): string {
  const rows = Object.entries<Row>(FAULTS).map(([kind, row]) => {
    const parameters = parametersTold(row).map(
      ({ name, takes, optional }) => `${code(name)}: ${takes}${optional ? ' (may be left out)' : ''}`,
    );
    return [code(kind), row.targets.join(', '), row.meaning, parameters.join('; '), row.drawn];
  });
  return table(['fault', 'in', 'meaning', 'takes', 'its chance is drawn'], rows);
}

function events(): string {
  const rows = Object.entries(CATALOGUE).map(([id, { severity, source, text, fields }]) => [
    code(typeOf(id as keyof typeof CATALOGUE)),
    severity,
    source,
    text,
    Object.keys(fields.shape).map(code).join(', '),
  ]);
  return table(['event', 'severity', 'stated by', 'text', 'fields'], rows);
}

/** They are a topic of their own. */
function withoutFaults(): JsonSchema {
  const drill = drillJsonSchema();
  const steps = drill.properties?.['steps'] as JsonSchema;
  const { properties } = steps.items as JsonSchema;
  const fault = { description: 'a fault: see the topic faults' };
  steps.items = { ...(steps.items as JsonSchema), properties: { ...properties, fault } };
  return drill;
}
