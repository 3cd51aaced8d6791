import type { VNode } from 'preact';
import type { ApiFailure } from '../api/problem.ts';

/** What went wrong and what to do, where it went wrong. */
export function FailureNote(props: {
  readonly failure: ApiFailure;
  readonly onRetry?: () => void;
  readonly retryWords?: string;
}): VNode {
  return (
    <div class="failure" role="alert">
      <p>
        <strong>{props.failure.message}</strong> {props.failure.advice}
      </p>
      {props.onRetry === undefined ? null : (
        <button type="button" class="button" onClick={props.onRetry}>
          {props.retryWords ?? 'Try again'}
        </button>
      )}
    </div>
  );
}
