/** The page's root: one store, one tree. */
import { render } from 'preact';
import { Controls } from './controls/controls.tsx';
import { createApi } from './data/api.ts';
import type { OpenSocket } from './data/follow.ts';
import { createStore } from './data/store.ts';
import { AboutRig } from './parts/about-rig.tsx';
import { Caution } from './parts/caution.tsx';
import { EventList } from './parts/event-list.tsx';
import { Head, Lost } from './parts/head.tsx';
import { StoreContext } from './parts/use-store.ts';
import { Polls } from './polls/polls.tsx';
import { Ring } from './ring/ring.tsx';
import { T } from './texts/index.ts';

const openSocket: OpenSocket = (url, on) => {
  const socket = new WebSocket(url);
  socket.addEventListener('open', on.opened);
  socket.addEventListener('message', (event) => {
    on.message(String(event.data));
  });
  socket.addEventListener('close', on.closed);
  return socket;
};

const token = new URL(location.href).searchParams.get('token');
const store = createStore(createApi(document.baseURI, token), openSocket);

function Page() {
  return (
    <StoreContext.Provider value={store}>
      <a class="skip" href="#controls">
        {T.skip}
      </a>
      <Caution />
      <Head />
      <Lost />
      <Bench />
    </StoreContext.Provider>
  );
}

/** Nothing is drawn before the bench has answered: an empty ring would look like a bench at rest. */
function Bench() {
  if (store.rig.value === null || store.shown.snapshot.value === null) {
    return <main class="waiting">{T.loading}</main>;
  }
  return (
    <>
      <main>
        <Ring />
        <Controls />
        <EventList />
      </main>
      <Polls />
      <AboutRig />
    </>
  );
}

const root = document.getElementById('page');
if (root !== null) render(<Page />, root);
