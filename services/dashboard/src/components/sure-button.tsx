import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import { FailureNote } from './failure-note.tsx';
import { useRequest } from './use-request.ts';

/** A button that asks once more before it does what others rely on staying as it is. */
export function SureButton(props: {
  readonly words: string;
  readonly sureWords: string;
  /** What it is about, for those who do not see what stands beside it. */
  readonly about?: string;
  readonly onSure: () => Promise<void>;
}): VNode {
  const [isSure, setIsSure] = useState(false);
  const { busy, failure, run } = useRequest();
  const words = isSure ? props.sureWords : props.words;
  const act = async (): Promise<void> => {
    await props.onSure();
    setIsSure(false);
  };
  return (
    <div class="buttons">
      <button
        type="button"
        class={isSure ? 'button button-strong' : 'button'}
        disabled={busy}
        aria-label={props.about === undefined ? undefined : `${words}: ${props.about}`}
        onClick={() => (isSure ? run(act) : setIsSure(true))}
      >
        {words}
      </button>
      {isSure ? (
        <button type="button" class="button" onClick={() => setIsSure(false)}>
          Keep it
        </button>
      ) : null}
      {failure === null ? null : <FailureNote failure={failure} />}
    </div>
  );
}
