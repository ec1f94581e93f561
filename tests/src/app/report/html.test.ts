/** What the page of a verdict says, as text; how it looks is seen in tests/browser/report.test.ts. */
import { expect, it } from 'vitest';
import { reportHtml } from '../../../../src/app/report/html.ts';
import { SHORTFALLS } from '../../../../src/app/report/verdict.ts';
import { heldVerdict, MADE } from './stories.ts';

it('says of a drill that was not done in full which step is missing, and that it has not held', async () => {
  const page = await reportHtml([heldVerdict({ leftOut: ['the step at 5 s was not carried out'] })], MADE);
  expect(page).toContain('<title>broken: A coil leaks');
  expect(page).toContain('Note: the step at 5 s was not carried out');
  expect(page).toContain(SHORTFALLS.incomplete.says);
});
