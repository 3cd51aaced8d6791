import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import { PageFailure, type Press } from './page-calls.ts';
import { PutAside } from './put-aside.tsx';

/** Presses a button for these buttons' alarm; rejects with `PageFailure`. */
export type SendPress = (press: Press) => Promise<void>;

export interface Answer {
  readonly action: 'on-my-way' | 'acknowledge' | 'hand-on';
  readonly words: string;
}

/**
 * Big buttons for cold hands, the first one the strongest. One that fails says so and can be
 * pressed again: it does no harm when the first press had arrived.
 */
export function AnswerButtons(props: {
  readonly answers: readonly Answer[];
  /** What the buttons are about, for those who do not see where they stand. */
  readonly about: string;
  readonly mayPutAside: boolean;
  readonly zone: string;
  readonly send: SendPress;
}): VNode | null {
  const { answers, about, mayPutAside, zone, send } = props;
  const [under, setUnder] = useState<string | null>(null);
  const [fault, setFault] = useState('');
  const [done, setDone] = useState<Press['action'] | null>(null);
  // What was said needs no saying again, also where the journal is not at hand.
  const left = answers.filter(({ action }) => action !== 'on-my-way' || done !== action);
  if (left.length === 0 && !mayPutAside && done === null) return null;
  const start = async (press: Press): Promise<void> => {
    setUnder(press.action);
    setFault('');
    setDone(null);
    try {
      await send(press);
      setDone(press.action);
    } catch (error) {
      const words = error instanceof PageFailure ? error.message : String(error);
      setFault(`Not done: ${words}${canTryAgain(error) ? ' Press again.' : ''}`);
    } finally {
      setUnder(null);
    }
  };
  return (
    <div class="answers">
      <p class="fault" role="alert">
        {fault}
      </p>
      <p class="done" role="status">
        {done !== null && DONE_WORDS[done]}
      </p>
      {left.map(({ action, words }, index) => (
        <button
          key={action}
          type="button"
          class={index === 0 ? 'press strong' : 'press'}
          aria-label={`${words}: ${about}`}
          aria-disabled={under !== null}
          onClick={() => void (under === null && start({ action }))}
        >
          {under === action ? `${words} …` : words}
        </button>
      ))}
      {mayPutAside && (
        <PutAside zone={zone} about={about} isSending={under === 'shelve'} send={start} />
      )}
    </div>
  );
}

const DONE_WORDS: Readonly<Record<Press['action'], string>> = {
  'on-my-way': 'Done: acknowledged, and everybody reads that you are on the way.',
  acknowledge: 'Done: acknowledged. Nobody else is called for it.',
  'hand-on': 'Done: handed on. The next in line is called now.',
  shelve: 'Done: put aside. It comes back by itself when the time is over.',
};

/** Nothing helps against a refusal; a bad connection or a busy server may be better later. */
function canTryAgain(error: unknown): boolean {
  if (!(error instanceof PageFailure)) return true;
  return error.status === 0 || error.status === 429 || error.status >= 500;
}
