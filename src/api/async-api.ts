/**
 * The event stream as AsyncAPI 3: one message an event of the catalogue, the parameters of the handshake, and
 * how the stream ends. Made from what validates the events and closes the streams.
 */
import { z } from 'zod';
import { eventSchemaOf } from '../events/event-schema.ts';
import { CATALOGUE, type EventId, type Severity, type Source, typeOf } from '../events/index.ts';
import { type JsonSchema, withoutObviousBounds } from '../files/json-schema.ts';
import { CAUTION, TOKEN_SCHEME } from './describe.ts';
import { STREAM_CLOSE } from './stream.ts';
import { STREAM_PATH, streamQuery, tokenInAddress } from './stream-address.ts';

/** CloudEvents 1.0.2, JSON event format, section 3. */
const CONTENT_TYPE = 'application/cloudevents+json';
const IDS = Object.keys(CATALOGUE) as EventId[];
/** By its address: of identifiers AsyncAPI knows nothing. */
const LICENCE = { name: 'MIT', url: 'https://spdx.org/licenses/MIT.html' };
/** What `leakbench serve` answers at where it is told nothing else. */
const HOST_EXAMPLE = '127.0.0.1:7580';

const TAGS: Readonly<Record<Severity | Source, string>> = {
  trace: 'severity: draws curves',
  info: 'severity: ordinary',
  notice: 'severity: a person’s doing, or a change of state',
  warning: 'severity: wants attention',
  alarm: 'severity: gas or fire',
  bench: 'stated by the simulated world',
  supervisor: 'stated by the supervisor',
  service: 'stated by a person’s work on a line',
};

export interface AsyncApi extends Readonly<Record<string, unknown>> {
  readonly asyncapi: '3.0.0';
}

export function asyncApi(version: string): AsyncApi {
  return {
    asyncapi: '3.0.0',
    info: { title: 'leakbench events', version, description: CAUTION, license: LICENCE },
    defaultContentType: CONTENT_TYPE,
    servers: { bench: SERVER },
    channels: { stream: channel() },
    operations: {
      tellEvents: {
        action: 'send',
        channel: ref('channels/stream'),
        title: 'Tell events',
        summary: 'Every event after a sequence, stored and to come, once, in order, one a message.',
        description:
          'Whoever comes back says with ?after=SEQUENCE which event was the last it got, and misses none. ' +
          'There is nothing to send to the bench but pongs and a goodbye.',
      },
    },
    components: {
      securitySchemes: {
        token: TOKEN_SCHEME,
        tokenInAddress: { type: 'httpApiKey', in: 'query', ...tokenInAddress },
      },
      messages: Object.fromEntries(IDS.map((id) => [id, messageOf(id)])),
      tags: Object.fromEntries(
        Object.entries(TAGS).map(([name, description]) => [name, { name, description }]),
      ),
      schemas: Object.fromEntries(IDS.map((id) => [id, schemaOf(eventSchemaOf(id), 'output')])),
    },
  };
}

const SERVER = {
  host: '{host}',
  protocol: 'ws',
  description: 'A bench. One without tokens answers its own machine alone, and wants none.',
  variables: { host: { default: HOST_EXAMPLE, description: 'name and port, as of its page' } },
  security: [ref('components/securitySchemes/token'), ref('components/securitySchemes/tokenInAddress')],
};

function channel() {
  const closes = Object.values(STREAM_CLOSE);
  return {
    address: STREAM_PATH,
    title: 'The event stream',
    description: `A WebSocket. The bench closes it with ${closes
      .map(({ code, reason }) => `${code} (${reason})`)
      .join(', ')}.`,
    servers: [ref('servers/bench')],
    messages: Object.fromEntries(IDS.map((id) => [id, ref(`components/messages/${id}`)])),
    bindings: {
      ws: { method: 'GET', query: schemaOf(streamQuery, 'input'), bindingVersion: '0.1.0' },
    },
    'x-close-codes': closes,
  };
}

/** Severity and source are tags, by which tools sort messages. */
function messageOf(id: EventId) {
  const { severity, source, text } = CATALOGUE[id];
  return {
    name: typeOf(id),
    title: id,
    summary: text,
    contentType: CONTENT_TYPE,
    payload: ref(`components/schemas/${id}`),
    tags: [ref(`components/tags/${severity}`), ref(`components/tags/${source}`)],
  };
}

function schemaOf(schema: z.ZodType, io: 'input' | 'output'): JsonSchema {
  const made = z.toJSONSchema(schema, {
    io,
    // What AsyncAPI's own schemas are a superset of.
    target: 'draft-7',
    override: ({ jsonSchema }) => {
      withoutObviousBounds(jsonSchema);
    },
  });
  delete made.$schema;
  return made;
}

function ref(path: string): { readonly $ref: string } {
  return { $ref: `#/${path}` };
}
