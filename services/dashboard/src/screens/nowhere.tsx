import type { VNode } from 'preact';

export function Nowhere(): VNode {
  return (
    <div class="title">
      <h1>There is nothing at this address</h1>
      <p>
        Go back to <a href="#/">the list of units</a>.
      </p>
    </div>
  );
}
