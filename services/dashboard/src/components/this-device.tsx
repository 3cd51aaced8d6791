import type { VNode } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import {
  myContactPoints,
  pushKey,
  removeContactPoint,
  sendTestPage,
} from '../api/on-call-client.ts';
import { ApiFailure } from '../api/problem.ts';
import type { ContactPoint } from '../api/types.ts';
import {
  contactIdOf,
  endSubscriptionHere,
  type PushAbility,
  pageHere,
  pushAbility,
  subscriptionHere,
  surroundings,
} from '../push/this-device.ts';
import { ContactList } from './contact-list.tsx';
import { FailureNote } from './failure-note.tsx';
import { Field } from './field.tsx';
import { useRequest } from './use-request.ts';

/** Why this browser cannot be paged, and what to do. */
const ABILITY_WORDS: Readonly<Record<Exclude<PushAbility, 'possible'>, string>> = {
  denied:
    'This browser was told not to show notifications of this site. Allow them in the settings of ' +
    'the site (the sign beside the address), then come back.',
  insecure:
    'Pages reach a device only over an encrypted connection: open Lineside by its https address.',
  'install-first':
    'On an iPhone or iPad, put Lineside on the home screen first (Share, then Add to Home Screen), ' +
    'open it from there, and come back to this place.',
  'not-offered':
    'This server is not set up to page devices; whoever runs it finds how in its settings.',
  impossible: 'This browser cannot be paged. Use another one, or ask the office for e-mail.',
};

/** How the signed-in person is paged, and whether on this device. */
export function ThisDevice(props: {
  readonly username: string;
  readonly displayName: string;
}): VNode {
  const [contacts, setContacts] = useState<readonly ContactPoint[] | null>(null);
  const [hereId, setHereId] = useState<string | null>(null);
  const { failure, run } = useRequest();
  const look = async (): Promise<void> => {
    const [mine, here] = await Promise.all([myContactPoints(), contactIdHere()]);
    setContacts(mine);
    setHereId(here);
  };
  useEffect(() => run(look), []);
  const here = contacts?.find(({ id }) => id === hereId) ?? null;
  const remove = async (contact: ContactPoint): Promise<void> => {
    await removeContactPoint(contact.id);
    if (contact.id === hereId) await endSubscriptionHere();
    await look();
  };
  return (
    <section class="group">
      <h2>How you are paged</h2>
      {contacts === null ? null : (
        <ContactList contacts={contacts} hereId={hereId} onRemove={remove} />
      )}
      {contacts !== null && here === null ? (
        <PageThisDevice {...props} onDone={() => run(look)} />
      ) : null}
      {failure === null ? null : <FailureNote failure={failure} onRetry={() => run(look)} />}
      {contacts === null || contacts.length === 0 ? null : <TestPage />}
    </section>
  );
}

async function contactIdHere(): Promise<string | null> {
  const here = pushAbility(surroundings()) === 'possible' ? await subscriptionHere() : null;
  return here === null ? null : contactIdOf(here.endpoint);
}

function PageThisDevice(props: {
  readonly username: string;
  readonly displayName: string;
  readonly onDone: () => void;
}): VNode {
  const { username, displayName, onDone } = props;
  const kind = navigator.maxTouchPoints > 0 ? 'Phone' : 'Computer';
  const [name, setName] = useState(`${kind} of ${displayName}`.slice(0, 60));
  const [ability, setAbility] = useState(() => pushAbility(surroundings()));
  const [refusal, setRefusal] = useState<string | null>(null);
  const { busy, failure, run } = useRequest();
  if (ability !== 'possible') return <p class="measure">{ABILITY_WORDS[ability]}</p>;
  const turnOn = async (): Promise<void> => {
    setRefusal(null);
    try {
      const key = await pushKey();
      if (key === null) return setAbility('not-offered');
      await pageHere(name, username, key);
      onDone();
    } catch (error) {
      if (error instanceof ApiFailure) throw error;
      setAbility(pushAbility(surroundings()));
      setRefusal(error instanceof Error ? error.message : String(error));
    }
  };
  return (
    <form
      class="service-form"
      onSubmit={(event) => {
        event.preventDefault();
        run(turnOn);
      }}
    >
      <Field label="What this device is called" value={name} onValue={setName} required />
      <p class="soft">The browser asks whether it may show notifications: allow it.</p>
      {refusal === null ? null : (
        <p role="alert">
          <strong>The browser gives no way to page it.</strong> {refusal}
        </p>
      )}
      {failure === null ? null : <FailureNote failure={failure} />}
      <div class="buttons">
        <button type="submit" class="button button-strong" disabled={busy}>
          {busy ? 'Asking the browser…' : 'Page this device'}
        </button>
      </div>
    </form>
  );
}

function TestPage(): VNode {
  const [said, setSaid] = useState('');
  const { busy, failure, run } = useRequest();
  const send = async (): Promise<void> => setSaid(await sendTestPage());
  return (
    <>
      <p role="status">{said}</p>
      {failure === null ? null : <FailureNote failure={failure} />}
      <button type="button" class="button" disabled={busy} onClick={() => run(send)}>
        {busy ? 'Sending…' : 'Send me a test page'}
      </button>
    </>
  );
}
