import type { FunctionComponent, VNode } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { failureOf } from '../api/problem.ts';
import { FailureNote } from './failure-note.tsx';

/** A screen whose program is fetched when it is first shown. */
export function LateScreen<P extends object>(props: {
  readonly load: () => Promise<FunctionComponent<P>>;
  readonly with: P;
}): VNode {
  const { load } = props;
  const [state, setState] = useState<{ readonly screen: FunctionComponent<P> } | 'failed' | null>(
    null,
  );
  const [tries, setTries] = useState(0);
  // `tries` asks for another try.
  useEffect(() => {
    load().then(
      (screen) => setState({ screen }),
      () => setState('failed'),
    );
  }, [load, tries]);
  if (state === null) return <p class="soft">Opening…</p>;
  if (state === 'failed') {
    return <FailureNote failure={failureOf(0, {})} onRetry={() => setTries(tries + 1)} />;
  }
  const Loaded = state.screen;
  return <Loaded {...props.with} />;
}
