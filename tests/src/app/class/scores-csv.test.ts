import { expect, test } from 'vitest';
import { scoresCsv } from '../../../../src/app/class/scores-csv.ts';
import { NO_POINTS } from '../../../../src/class/index.ts';
import { csvText } from '../../../../src/text/csv.ts';

const HEAD = 'lesson,name,answered,what is wrong,where,what to do next,may it be restarted,total';

test('scores are a row a lesson and seat, a column a question', () => {
  const score = { causes: 1, where: 0.5, next: 0, restart: 1, total: 2.5 };
  const rows = [
    { lesson: 'The first call', seat: 'Ann', answered: true, score },
    { lesson: 'The first call', seat: 'Bob', answered: false, score: NO_POINTS },
  ];
  expect(scoresCsv(rows)).toBe(
    `${HEAD}\r\nThe first call,Ann,yes,1,0.5,0,1,2.5\r\nThe first call,Bob,no,0,0,0,0,0\r\n`,
  );
  expect(scoresCsv([])).toBe(`${HEAD}\r\n`);
});

test.each([
  ['=HYPERLINK("http://x")', '"\'=HYPERLINK(""http://x"")"'],
  ['+1', "'+1"],
  ['-1', "'-1"],
  ['@sum', "'@sum"],
  ['\tx', "'\tx"],
  ['Ann, Lee', '"Ann, Lee"'],
  ['say "hi"', '"say ""hi"""'],
  ['a\r\nb', '"a\r\nb"'],
  ['a=b', 'a=b'],
])('the name %j is a text in a spreadsheet, never a formula', (seat, cell) => {
  const [, row] = scoresCsv([{ lesson: 'L', seat, answered: false, score: NO_POINTS }]).split('\r\nL,');
  expect(row).toBe(`${cell},no,0,0,0,0,0\r\n`);
});

test('a number below zero stays a number, and what is not known an empty cell', () => {
  expect(csvText([[-3, null, 'x']])).toBe('-3,,x\r\n');
});
