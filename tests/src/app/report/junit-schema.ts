/**
 * What a build server's report must be, written as a table after two published schemas: JUnit.xsd of
 * github.com/windyroad/JUnit-Schema (Apache Ant's form: required attributes, order, one outcome a case) and
 * junit-10.xsd of github.com/jenkinsci/xunit-plugin (which attributes exist at all, the form of a time). A
 * document that passes is valid against both.
 */

export interface Xml {
  readonly name: string;
  readonly attributes: Readonly<Record<string, string>>;
  readonly children: readonly Xml[];
  /** The text right in it. */
  readonly text: string;
}

const WHOLE = /^\d+$/u;
/** A decimal of the one schema that the other's pattern takes as well. */
const SECONDS = /^\d*(?:\.\d+)?$/u;
/** Not empty, and without blanks at its ends. */
const TOKEN = /^\S(?:.*\S)?$/u;
const ANY = /^/u;
/** The stricter one knows no zone. */
const MOMENT = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}$/u;

interface Row {
  readonly attributes: Readonly<Record<string, RegExp>>;
  /** The names of its children, run together with blanks. */
  readonly children: RegExp;
  readonly mayHaveText: boolean;
}

const outcome = { attributes: { message: ANY, type: ANY }, children: /^$/u, mayHaveText: true };
const output = { attributes: {}, children: /^$/u, mayHaveText: true };

const ROWS: Readonly<Record<string, Row>> = {
  testsuites: { attributes: {}, children: /^(?:testsuite )*$/u, mayHaveText: false },
  testsuite: {
    attributes: {
      name: TOKEN,
      package: TOKEN,
      id: WHOLE,
      timestamp: MOMENT,
      hostname: TOKEN,
      tests: WHOLE,
      failures: WHOLE,
      errors: WHOLE,
      skipped: WHOLE,
      time: SECONDS,
    },
    children: /^properties (?:testcase )*system-out system-err $/u,
    mayHaveText: false,
  },
  properties: { attributes: {}, children: /^(?:property )*$/u, mayHaveText: false },
  property: { attributes: { name: TOKEN, value: ANY }, children: /^$/u, mayHaveText: false },
  testcase: {
    attributes: { name: TOKEN, classname: TOKEN, time: SECONDS },
    children: /^(?:(?:skipped|error|failure) )?$/u,
    mayHaveText: false,
  },
  skipped: outcome,
  error: outcome,
  failure: outcome,
  'system-out': output,
  'system-err': output,
};

/** Everything in which a document departs from the schemas. */
export function schemaProblems(element: Xml): readonly string[] {
  const row = ROWS[element.name];
  if (row === undefined) return [`<${element.name}> is unknown`];
  const names = new Set([...Object.keys(row.attributes), ...Object.keys(element.attributes)]);
  const children = element.children.map((child) => `${child.name} `).join('');
  return [
    ...[...names].flatMap((name) => attributeProblems(element, name, row.attributes[name])),
    ...(row.children.test(children) ? [] : [`<${element.name}> holds ${children}`]),
    ...(row.mayHaveText || element.text.trim() === '' ? [] : [`<${element.name}> holds text`]),
    ...element.children.flatMap(schemaProblems),
  ];
}

function attributeProblems(element: Xml, name: string, form: RegExp | undefined): readonly string[] {
  const value = element.attributes[name];
  if (form === undefined) return [`<${element.name}> takes no ${name}`];
  if (value === undefined) return [`<${element.name}> lacks ${name}`];
  return form.test(value) ? [] : [`${name}="${value}" in <${element.name}>`];
}
