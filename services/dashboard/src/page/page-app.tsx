import type { VNode } from 'preact';
import { useCallback, useEffect, useState } from 'preact/hooks';
import { clockTime } from '../words/times.ts';
import { RoofWarning } from './cautions.tsx';
import { ManyAlarms } from './many-alarms.tsx';
import { OneAlarm } from './one-alarm.tsx';
import { PageFailure, type Press, press, readPage } from './page-calls.ts';
import type { Page } from './page-types.ts';
import { expiresWords } from './page-words.ts';

/** Whoever reads the page sees within this what others did. */
const READ_AGAIN_EVERY_MS = 30_000;

const failureOf = (error: unknown): PageFailure =>
  error instanceof PageFailure ? error : new PageFailure(0, String(error));

/** The page behind the link of a message. */
export function PageApp(): VNode {
  const [page, setPage] = useState<Page | null>(null);
  const [failure, setFailure] = useState<PageFailure | null>(null);
  const read = useCallback((): Promise<void> => {
    const taken = (next: Page): void => {
      setPage(next);
      setFailure(null);
    };
    return readPage().then(taken, (error: unknown) => setFailure(failureOf(error)));
  }, []);
  useReadAgain(read);
  useTitle(page);
  if (page === null)
    return failure === null ? <Waiting /> : <Nothing failure={failure} read={read} />;
  const nowMs = Date.parse(page.time);
  const sendFor =
    (alarm: string) =>
    async (what: Press): Promise<void> => {
      const next = await press(alarm, what).catch(async (error: unknown) => {
        // The page as it is now says why it was refused.
        await read();
        throw error;
      });
      setPage(next);
      setFailure(null);
    };
  const [only, second] = page.alarms;
  return (
    <>
      <RoofWarning sites={page.sites} />
      {failure !== null && <Stale page={page} failure={failure} />}
      {page.buttons === 'another-device' && <Elsewhere />}
      {only === undefined && <p>The alarms of this page are no longer kept.</p>}
      {only !== undefined && second === undefined && (
        <OneAlarm page={page} alarm={only} nowMs={nowMs} send={sendFor(only.id)} />
      )}
      {second !== undefined && <ManyAlarms page={page} nowMs={nowMs} sendFor={sendFor} />}
      <Foot page={page} nowMs={nowMs} />
    </>
  );
}

/** Reads at once, every half minute while the page is looked at, and when the network is back. */
function useReadAgain(read: () => Promise<void>): void {
  useEffect(() => {
    const look = (): void => {
      if (document.visibilityState === 'visible') void read();
    };
    void read();
    const timer = setInterval(look, READ_AGAIN_EVERY_MS);
    document.addEventListener('visibilitychange', look);
    addEventListener('online', look);
    return () => {
      clearInterval(timer);
      document.removeEventListener('visibilitychange', look);
      removeEventListener('online', look);
    };
  }, [read]);
}

/** Names the tab, for whoever has several pages open. */
function useTitle(page: Page | null): void {
  const [first, second] = page?.alarms ?? [];
  const count = (page?.alarms.length ?? 0) + (page?.more ?? 0);
  const title = second === undefined ? first?.unitName : `${count} alarms`;
  useEffect(() => {
    if (title !== undefined) document.title = `Page: ${title}`;
  }, [title]);
}

function Waiting(): VNode {
  return <p class="wait">Reading the page …</p>;
}

function Nothing(props: {
  readonly failure: PageFailure;
  readonly read: () => Promise<void>;
}): VNode {
  const { failure, read } = props;
  const isOver = failure.status === 404;
  return (
    <section class="nothing">
      <h1>{isOver ? 'This page is over' : 'The page did not come'}</h1>
      <p role="alert">{failure.message}</p>
      {isOver ? (
        <p>
          Open the newest message, <a href="/">sign in to the dashboard</a>, or ask the office.
        </p>
      ) : (
        <button type="button" class="press strong" onClick={() => void read()}>
          Try again
        </button>
      )}
    </section>
  );
}

function Stale(props: { readonly page: Page; readonly failure: PageFailure }): VNode {
  const { page, failure } = props;
  const zone = page.sites[0]?.timezone ?? 'UTC';
  return (
    <p class="stale" role="status">
      As of {clockTime(Date.parse(page.time), zone)}. {failure.message} It is tried again.
    </p>
  );
}

function Elsewhere(): VNode {
  return (
    <p class="elsewhere" role="status">
      <strong>Answered from another device.</strong> The buttons are there; here you can read on. To
      act from here, <a href="/">sign in to the dashboard</a> or ask the office.
    </p>
  );
}

function Foot({ page, nowMs }: { readonly page: Page; readonly nowMs: number }): VNode {
  const zone = page.sites[0]?.timezone ?? 'UTC';
  return (
    <footer>
      <p>
        This page is for {page.for} and works until {expiresWords(page.expires, zone, nowMs)}.
        Whoever presses a button first has the buttons: pass the link on to nobody.
      </p>
      <p>
        <a href="/">To the dashboard</a>
      </p>
    </footer>
  );
}
