import type { ComponentChildren, VNode } from 'preact';
import { isStanding } from '../order/urgency.ts';
import { currentRoute } from '../routes/current-route.ts';
import { fleet } from '../state/fleet.ts';
import { sessionState, signOut } from '../state/session.ts';
import { useStore } from '../state/store.ts';
import { AnnouncementLine } from './announcement-line.tsx';
import { ArrivalLine } from './arrival-line.tsx';
import { FailureNote } from './failure-note.tsx';
import { HouseLine } from './house-line.tsx';
import { LiveState } from './live-state.tsx';
import { useRequest } from './use-request.ts';

/** Head and foot of every screen behind the sign-in. */
export function PageFrame({ children }: { readonly children: ComponentChildren }): VNode {
  return (
    <>
      <button type="button" class="button skip" onClick={skipToContent}>
        Skip to the content
      </button>
      <header class="head">
        <a class="name" href="#/">
          Lineside
        </a>
        <Navigation />
        <LiveState />
        <Whoever />
      </header>
      <HouseLine />
      <AnnouncementLine />
      <main id="content" tabIndex={-1}>
        <ArrivalLine />
        {children}
      </main>
      <footer class="foot">
        <p>
          Lineside advises. It is no protective device and replaces none; no reading proves absence
          of voltage.
        </p>
      </footer>
    </>
  );
}

/** A button, since a link to `#content` would change the screen. */
function skipToContent(): void {
  document.getElementById('content')?.focus();
}

function Navigation(): VNode {
  const { screen } = useStore(currentRoute);
  const isOffice = useStore(
    sessionState,
    (state) => state.state === 'signed-in' && state.session.person.role === 'office',
  );
  const standing = useStore(
    fleet,
    ({ alarms }) => [...alarms.values()].filter((alarm) => isStanding(alarm)).length,
  );
  return (
    <nav aria-label="Screens">
      <a href="#/" aria-current={screen === 'units' ? 'page' : undefined}>
        Units
      </a>
      <a href="#/alarms" aria-current={screen === 'alarms' ? 'page' : undefined}>
        Alarms, {standing}
        <span class="wide"> standing</span>
      </a>
      <a href="#/on-call" aria-current={screen === 'on-call' ? 'page' : undefined}>
        On call
      </a>
      <a href="#/storms" aria-current={screen.startsWith('storm') ? 'page' : undefined}>
        Storms
      </a>
      {isOffice ? (
        <a href="#/figures" aria-current={screen === 'figures' ? 'page' : undefined}>
          Figures
        </a>
      ) : null}
    </nav>
  );
}

function Whoever(): VNode | null {
  const state = useStore(sessionState);
  const { failure, run } = useRequest();
  if (state.state !== 'signed-in') return null;
  return (
    <div class="whoever">
      <span>{state.session.person.displayName}</span>
      <button type="button" class="button button-small" onClick={() => run(signOut)}>
        Sign out
      </button>
      {failure === null ? null : <FailureNote failure={failure} />}
    </div>
  );
}
