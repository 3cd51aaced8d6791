import { useEffect, useState } from 'preact/hooks';
import { ApiFailure } from '../api/problem.ts';

export interface AnswerState<T> {
  /** null until it has come. */
  readonly answer: T | null;
  readonly failure: ApiFailure | null;
  readonly readAnew: () => void;
}

/**
 * What the API answers to one question, asked when it is first shown and whenever `question`
 * changes.
 *
 * @param question what tells one question from another, such as an id.
 */
export function useAnswer<T>(question: string, ask: () => Promise<T>): AnswerState<T> {
  const [answer, setAnswer] = useState<T | null>(null);
  const [failure, setFailure] = useState<ApiFailure | null>(null);
  const [round, setRound] = useState(0);
  // `round` asks for another reading; `ask` is new with each drawing and says nothing.
  useEffect(() => {
    let wanted = true;
    ask().then(
      (given) => {
        if (!wanted) return;
        setAnswer(() => given);
        setFailure(null);
      },
      (error: unknown) => {
        if (wanted && error instanceof ApiFailure) setFailure(error);
      },
    );
    return () => {
      wanted = false;
    };
  }, [question, round]);
  return { answer, failure, readAnew: () => setRound((before) => before + 1) };
}
