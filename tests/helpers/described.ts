/** What the published descriptions have against answers and events that really came. */
import { Ajv2020, type AnySchemaObject } from 'ajv/dist/2020.js';
import formats from 'ajv-formats';

export interface Heard {
  readonly method: string;
  /** As the description names it: /api/v1/class/seats/{id}. */
  readonly path: string;
  readonly status: number;
  readonly type: string;
  readonly text: string;
}

interface Response {
  readonly content?: Readonly<Record<string, { readonly schema: unknown }>>;
}
interface Described {
  readonly paths: Readonly<
    Record<string, Readonly<Record<string, { readonly responses: Readonly<Record<string, Response>> }>>>
  >;
}

/** Says what is wrong with an answer, or null. Only a status that the operation names counts. */
export function answersBy(openApi: unknown): (heard: Heard) => string | null {
  const { paths } = openApi as Described;
  const ajv = checkerOf(openApi);
  return ({ method, path, status, type, text }) => {
    const name = `${method} ${path} ${status}`;
    const response = paths[path]?.[method.toLowerCase()]?.responses[status];
    if (response === undefined) return `${name} is not described`;
    const [media = ''] = type.split(';', 1);
    if (response.content?.[media] === undefined) return `${name} is not described as ${media}`;
    if (!media.endsWith('json')) return null;
    const steps = [
      'paths',
      path,
      method.toLowerCase(),
      'responses',
      String(status),
      'content',
      media,
      'schema',
    ];
    const check = ajv.getSchema(`described#/${steps.map(escaped).join('/')}`);
    if (check === undefined) return `${name} has no schema`;
    return check(JSON.parse(text)) === true ? null : `${name}: ${ajv.errorsText(check.errors)}`;
  };
}

/** Says what is wrong with an event as it was streamed, or null. */
export function eventsBy(asyncApi: unknown): (event: { readonly type: string }) => string | null {
  const ajv = checkerOf(asyncApi);
  return (event) => {
    const id = event.type.replace(/^leakbench\./u, '');
    const check = ajv.getSchema(`described#/components/schemas/${id}`);
    if (check === undefined) return `${event.type} is not described`;
    return check(event) === true ? null : `${event.type}: ${ajv.errorsText(check.errors)}`;
  };
}

function checkerOf(document: unknown): Ajv2020 {
  const ajv = new Ajv2020({ strict: false, allErrors: true });
  formats.default(ajv);
  ajv.addSchema(document as AnySchemaObject, 'described');
  return ajv;
}

/** A step of a JSON pointer (RFC 6901) in a fragment. */
function escaped(step: string): string {
  return encodeURIComponent(step.replaceAll('~', '~0').replaceAll('/', '~1'));
}
