import type { VNode } from 'preact';
import type { ContactPoint } from '../api/types.ts';
import { channelWords } from '../words/channels.ts';
import { FailureNote } from './failure-note.tsx';
import { useRequest } from './use-request.ts';

/** The contact points of the signed-in person; those of devices can be removed. */
export function ContactList(props: {
  readonly contacts: readonly ContactPoint[];
  readonly hereId: string | null;
  readonly onRemove: (contact: ContactPoint) => Promise<void>;
}): VNode {
  const { contacts, hereId, onRemove } = props;
  const { busy, failure, run } = useRequest();
  if (contacts.length === 0) {
    return (
      <p>
        <strong>Nothing pages you yet.</strong> When you are on call, an alarm goes on to the next
        in line.
      </p>
    );
  }
  return (
    <>
      <p class="soft">Each page goes to all of these.</p>
      <ul class="plain-list">
        {contacts.map((contact) => (
          <li key={contact.id}>
            <p>
              <strong>{contact.name}</strong>, {channelWords(contact.channel)}
              {contact.id === hereId ? ', this device' : ''}
              {contact.origin === 'file' ? <span class="soft"> (kept by the office)</span> : null}
            </p>
            {contact.origin === 'device' ? (
              <button
                type="button"
                class="button"
                disabled={busy}
                aria-label={`Page it no longer: ${contact.name}`}
                onClick={() => run(() => onRemove(contact))}
              >
                Page it no longer
              </button>
            ) : null}
          </li>
        ))}
      </ul>
      {failure === null ? null : <FailureNote failure={failure} />}
    </>
  );
}
