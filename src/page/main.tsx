/** The page's root: one store, one tree, one view of several. */
import { render } from 'preact';
import { Curtain } from './class/curtain.tsx';
import { createApi } from './data/api.ts';
import type { OpenSocket } from './data/follow.ts';
import { createStore } from './data/store.ts';
import { pageToken } from './data/token.ts';
import { followView } from './data/view.ts';
import { Caution } from './parts/caution.tsx';
import { GiveToken } from './parts/give-token.tsx';
import { Head, Lost, RecordTrouble, ViewerNote } from './parts/head.tsx';
import { StoreContext } from './parts/use-store.ts';
import { T } from './texts/index.ts';
import { Bench } from './views/bench.tsx';
import { LazyView } from './views/lazy-view.tsx';
import { ViewBar } from './views/view-bar.tsx';
import { VIEW_IDS, VIEWS } from './views/views.ts';

const openSocket: OpenSocket = (url, on) => {
  const socket = new WebSocket(url);
  socket.addEventListener('open', on.opened);
  socket.addEventListener('message', (event) => {
    on.message(String(event.data));
  });
  socket.addEventListener('close', on.closed);
  return socket;
};

const store = createStore(createApi(document.baseURI, pageToken), openSocket);
const view = followView(VIEW_IDS);

const MAIN_ID = 'view';

function Page() {
  return (
    <StoreContext.Provider value={store}>
      <a class="skip" href={`#${MAIN_ID}`}>
        {T.skip}
      </a>
      <Caution />
      <header>
        <Head />
        <ViewBar now={view.value} />
      </header>
      <Lost />
      <RecordTrouble />
      <ViewerNote />
      <main id={MAIN_ID} tabIndex={-1}>
        <View />
      </main>
    </StoreContext.Provider>
  );
}

/** Nothing is drawn before the bench has answered: an empty ring would look like a bench at rest. */
function View() {
  if (store.link.value === 'locked') return <GiveToken />;
  if (store.rig.value === null || store.shown.snapshot.value === null) {
    return <p class="waiting">{T.loading}</p>;
  }
  const { load, tells } = VIEWS.find(({ id }) => id === view.value) ?? VIEWS[0];
  const shown = load === null ? <Bench /> : <LazyView key={view.value} load={load} />;
  return tells ? <Curtain>{shown}</Curtain> : shown;
}

const root = document.getElementById('page');
if (root !== null) render(<Page />, root);
