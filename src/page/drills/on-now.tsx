/** The drill that is on the bench: its line, its steps, and at its end the verdict with every rule. */
import { formatClock } from '../../units/format.ts';
import { classOf, useDesk } from '../class/desk.ts';
import { Act } from '../controls/act.tsx';
import type { Api, Got } from '../data/api.ts';
import { hrefOf } from '../data/view.ts';
import { Mark } from '../parts/mark.tsx';
import { useStore } from '../parts/use-store.ts';
import { R, VIEW_WORDS } from '../texts/index.ts';
import type { DrillStatus } from '../types.ts';
import { Progress } from './progress.tsx';
import { Verdict } from './verdict.tsx';

const HEAD = 'on-now-head';

export async function playThenShow(api: Api, drill: Parameters<Api['play']>[0]): Promise<Got<unknown>> {
  const got = await api.play(drill);
  if (got.ok) show();
  return got;
}

/** The list may be long: what was begun far down in it is seen at its head. */
function show(): void {
  const head = document.getElementById(HEAD);
  head?.focus({ preventScroll: true });
  const isStill = matchMedia('(prefers-reduced-motion: reduce)').matches;
  head?.closest('section')?.scrollIntoView({ behavior: isStill ? 'instant' : 'smooth' });
}

export function OnNow() {
  const { shown } = useStore();
  const drill = shown.snapshot.value?.drill ?? null;
  return (
    <section class="on-now" aria-labelledby={HEAD}>
      <h3 id={HEAD} tabIndex={-1}>
        {R.onNow}
      </h3>
      {drill === null && <p class="quiet">{R.none}</p>}
      {drill !== null && (drill.lesson ? <LessonDrill drill={drill} /> : <Drill drill={drill} />)}
    </section>
  );
}

/** A class that has had it may see what it did. A viewer's token does not tell whether a class has it. */
function LessonDrill({ drill }: { readonly drill: DrillStatus }) {
  const desk = useDesk();
  const lesson = classOf(desk)?.lesson ?? null;
  if (lesson?.phase === 'running') return <p>{R.lessonHidden}</p>;
  // The lesson begins once its drill does: a drill that began later is another.
  if (lesson !== null && drill.beganAtMs <= lesson.beganAtMs) return <Drill drill={drill} />;
  if (desk.got.value?.ok !== true) return <p>{R.lessonUnknown}</p>;
  return (
    <p>
      {R.lessonAlone} <a href={hrefOf('class')}>{VIEW_WORDS.class}</a>
    </p>
  );
}

function Drill({ drill }: { readonly drill: DrillStatus }) {
  const { shown } = useStore();
  const { name, why, state, beganAtMs } = drill;
  return (
    <>
      <div class="on-now-top">
        <p class="on-now-name">
          {name} <span class="quiet">{R.states[state]}</span>
        </p>
        {state === 'playing' && <Act name="stop drill" word={R.stop} ask={({ api }) => api.stopDrill()} />}
      </div>
      <p class="quiet">{why}</p>
      <Progress drill={drill} nowMs={shown.benchNowMs.value} />
      <Steps drill={drill} />
      {state === 'stopped' && <p>{R.noVerdict}</p>}
      {state === 'judged' && <Verdict key={beganAtMs} />}
    </>
  );
}

function Steps({ drill }: { readonly drill: DrillStatus }) {
  if (drill.steps.length === 0) return null;
  return (
    <>
      <h4>{R.steps}</h4>
      <ol class="drill-steps">
        {drill.steps.map(({ atMs, text, done }, index) => (
          <li key={`${atMs} ${index}`} class={done ? 'is-done' : 'quiet'}>
            <Mark kind={done ? 'good' : 'trace'} />
            <span class="figure">{formatClock(atMs)}</span>
            <span>{text}</span>
            <span class="only-heard">{done ? R.stepDone : R.stepAhead}</span>
          </li>
        ))}
      </ol>
    </>
  );
}
