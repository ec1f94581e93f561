/** What the page of a verdict says, as text; how it looks is seen in tests/browser/report.test.ts. */
import { expect, it } from 'vitest';
import { reportHtml } from '../../../../src/app/report/html.ts';
import { SHORTFALLS } from '../../../../src/app/report/verdict.ts';
import { wrongPolls } from '../../../browser/harness/polls.ts';
import { heldVerdict, MADE } from './stories.ts';

it('says of a drill that was not done in full which step is missing, and that it has not held', async () => {
  const page = await reportHtml([heldVerdict({ leftOut: ['the step at 5 s was not carried out'] })], MADE);
  expect(page).toContain('<title>broken: A coil leaks');
  expect(page).toContain('Note: the step at 5 s was not carried out');
  expect(page).toContain(SHORTFALLS.incomplete.says);
});

it('gives advice on how an outside controller asks, and none where it asks as it should', async () => {
  const pollReport = wrongPolls();
  const page = await reportHtml([heldVerdict({ pollReport })], MADE);
  for (const { text } of pollReport.advice) expect(page).toContain(`<li>${text}</li>`);
  expect(pollReport.advice.length).toBeGreaterThan(2);
  const unadvised = [heldVerdict(), heldVerdict({ pollReport: { ...pollReport, advice: [] } })];
  expect(await reportHtml(unadvised, MADE)).not.toContain('Advice');
});
