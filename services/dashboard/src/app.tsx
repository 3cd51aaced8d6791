import type { VNode } from 'preact';
import { useEffect } from 'preact/hooks';
import { DrawingPatterns } from './components/compartment-drawing.tsx';
import { FailureNote } from './components/failure-note.tsx';
import { LateScreen } from './components/late-screen.tsx';
import { PageFrame } from './components/page-frame.tsx';
import { isStanding } from './order/urgency.ts';
import { PAGED_KEY } from './push/paged-key.ts';
import { currentRoute } from './routes/current-route.ts';
import type { Route } from './routes/route.ts';
import { Alarms } from './screens/alarms.tsx';
import { Nowhere } from './screens/nowhere.tsx';
import { SignIn } from './screens/sign-in.tsx';
import { Units } from './screens/units.tsx';
import { Welcome } from './screens/welcome.tsx';
import { fleet, forgetFleet, loadFleet } from './state/fleet.ts';
import { startHouseWatch } from './state/house.ts';
import { startLive } from './state/live.ts';
import { resumeSession, sessionState } from './state/session.ts';
import { useStore } from './state/store.ts';

const onCallScreen = () => import('./screens/on-call.tsx').then(({ OnCallScreen }) => OnCallScreen);

/** The charts are half of the program: they are fetched when the first unit is opened. */
const unitScreen = () => import('./screens/unit.tsx').then(({ UnitScreen }) => UnitScreen);

/** Looked at after a storm, mostly at a desk. */
const stormsScreen = () => import('./screens/storms.tsx').then(({ Storms }) => Storms);
const stormScreen = () => import('./screens/storm.tsx').then(({ StormScreen }) => StormScreen);
const figuresScreen = () =>
  import('./screens/alarm-figures.tsx').then(({ FiguresScreen }) => FiguresScreen);

export function App(): VNode {
  const route = useStore(currentRoute);
  const session = useStore(sessionState);
  useEffect(() => void resumeSession(), []);

  if (route.screen === 'welcome') return <Welcome secret={route.secret} />;
  if (session.state === 'asking') return <main class="door" aria-busy="true" />;
  if (session.state === 'signed-out') return <SignIn />;
  if (session.state === 'unreachable') {
    return (
      <main class="door">
        <h1>Lineside</h1>
        <FailureNote failure={session.failure} onRetry={() => void resumeSession()} />
      </main>
    );
  }
  const { username } = session.session.person;
  return <SignedIn route={route} username={username} key={username} />;
}

function SignedIn(props: { readonly route: Route; readonly username: string }): VNode {
  const { route, username } = props;
  useEffect(() => {
    void loadFleet();
    const stop = startLive();
    const stopHouse = startHouseWatch();
    if (localStorage.getItem(PAGED_KEY) === username) {
      void import('./push/keep-paged.ts').then(({ keepPaged }) => keepPaged());
    }
    return () => {
      stop();
      stopHouse();
      forgetFleet();
    };
  }, [username]);
  useTitle();
  return (
    <>
      <DrawingPatterns />
      <PageFrame>
        <Screen route={route} />
      </PageFrame>
    </>
  );
}

function Screen({ route }: { readonly route: Route }): VNode {
  switch (route.screen) {
    case 'units':
      return <Units by={route.by} find={route.find} />;
    case 'alarms':
      return <Alarms />;
    case 'on-call':
      return <LateScreen load={onCallScreen} key="on-call" with={{}} />;
    case 'storms':
      return <LateScreen load={stormsScreen} key="storms" with={{}} />;
    case 'storm':
      return <LateScreen load={stormScreen} key={route.id} with={{ id: route.id }} />;
    case 'figures':
      return <LateScreen load={figuresScreen} key="figures" with={{ days: route.days }} />;
    case 'unit':
      return (
        <LateScreen
          load={unitScreen}
          key={`${route.site}/${route.unit}`}
          with={{ site: route.site, unit: route.unit, range: route.range }}
        />
      );
    default:
      return <Nowhere />;
  }
}

/** The number of alarms that nobody has answered, where a browser tab shows it. */
function useTitle(): void {
  const waiting = useStore(
    fleet,
    ({ alarms }) =>
      [...alarms.values()].filter((alarm) => isStanding(alarm) && alarm.acknowledged === null)
        .length,
  );
  useEffect(() => {
    document.title = waiting === 0 ? 'Lineside' : `(${waiting}) Lineside`;
  }, [waiting]);
}
