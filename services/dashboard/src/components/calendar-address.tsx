import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import { makeCalendarAddress, takeBackCalendarAddress } from '../api/on-call-client.ts';
import type { CalendarAddress as Address } from '../api/types.ts';
import { FailureNote } from './failure-note.tsx';
import { useRequest } from './use-request.ts';

/** The secret address under which a calendar program reads the shifts. */
export function CalendarAddress(): VNode {
  const [address, setAddress] = useState<Address | null>(null);
  const [said, setSaid] = useState('');
  const { busy, failure, run } = useRequest();
  const make = async (): Promise<void> => {
    setAddress(await makeCalendarAddress());
    setSaid('');
  };
  const takeBack = async (): Promise<void> => {
    await takeBackCalendarAddress();
    setAddress(null);
    setSaid('The address is taken back; calendars that had it show nothing new.');
  };
  return (
    <section class="group">
      <h2>Shifts in your calendar</h2>
      <p class="measure">
        A secret address that any calendar program can subscribe to; covers and swaps appear there
        by themselves. A new address ends the one before.
      </p>
      {address === null ? null : <Shown address={address} onCopied={setSaid} />}
      <p role="status">{said}</p>
      {failure === null ? null : <FailureNote failure={failure} />}
      <div class="buttons">
        <button type="button" class="button" disabled={busy} onClick={() => run(make)}>
          Make a calendar address
        </button>
        <button type="button" class="button" disabled={busy} onClick={() => run(takeBack)}>
          Take the address back
        </button>
      </div>
    </section>
  );
}

function Shown(props: {
  readonly address: Address;
  readonly onCopied: (words: string) => void;
}): VNode {
  const { address, onCopied } = props;
  const whole = `${location.origin}${address.path}`;
  const copy = async (): Promise<void> => {
    try {
      await navigator.clipboard.writeText(whole);
      onCopied('Copied. It is shown this once; whoever has it reads the shifts.');
    } catch {
      onCopied('The browser does not let it be copied; mark the address and copy it yourself.');
    }
  };
  return (
    <>
      <p>It shows {address.shows === 'own' ? 'your own shifts' : 'the shifts of all teams'}:</p>
      <code class="line">{whole}</code>
      <button type="button" class="button" onClick={() => void copy()}>
        Copy it
      </button>
    </>
  );
}
