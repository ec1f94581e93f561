/** The phones' page: one seat, one tree. */
import { useSignal } from '@preact/signals';
import { render } from 'preact';
import { useEffect } from 'preact/hooks';
import { Mark } from '../parts/mark.tsx';
import { S } from '../texts/seat.ts';
import { Join } from './join.tsx';
import { createSeat } from './seat.ts';
import { Seated } from './seated.tsx';

const code = new URL(location.href).searchParams.get('code') ?? '';
/** This page stands one folder below the bench's root. */
const seat = createSeat(new URL('../', document.baseURI).href);

function Page() {
  return (
    <>
      <header class="top">
        <div class="caution">
          <h1>{S.name}</h1>
          <p>{S.caution}</p>
        </div>
        <Connection />
      </header>
      <Body />
      <footer class="quiet foot">{S.cautionRest}</footer>
    </>
  );
}

function Body() {
  if (seat.key.value === null) return <Join seat={seat} code={code} />;
  if (seat.view.value === null) return <main class="waiting">{S.loading}</main>;
  return <Seated seat={seat} view={seat.view.value} />;
}

/** Heard when the connection goes and when it is back, not each second between. */
function Connection() {
  const isOld = seat.oldMs.value !== null;
  const was = useSignal(false);
  useEffect(() => {
    if (isOld) was.value = true;
  }, [isOld, was]);
  return (
    <div>
      <p class="only-heard" role="status">
        {isOld ? S.lostHeard : was.value ? S.back : ''}
      </p>
      {seat.oldMs.value !== null && (
        <div class="lost">
          <p>
            <Mark kind="warning" /> {S.lost(seat.oldMs.value)} {S.lostSays}
          </p>
          <button type="button" onClick={seat.askNow}>
            {S.retry}
          </button>
        </div>
      )}
    </div>
  );
}

const root = document.getElementById('page');
if (root !== null) render(<Page />, root);
