import type { VNode } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { acceptInvitation, readInvitation } from '../api/client.ts';
import { ApiFailure } from '../api/problem.ts';
import type { Role } from '../api/types.ts';
import { FailureNote } from '../components/failure-note.tsx';
import { Field } from '../components/field.tsx';
import { useRequest } from '../components/use-request.ts';
import { goTo } from '../routes/current-route.ts';
import { enter } from '../state/session.ts';

/** The API takes no shorter ones. */
const SHORTEST_PASSWORD = 12;

const ROLE_WORDS: Readonly<Record<Role, string>> = {
  office: 'the service office: everything',
  technician: 'a technician: read, acknowledge, record service',
  viewer: 'a reader of certain sites',
};

/** Where a one-time link leads: whoever holds it chooses a name and a password. */
export function Welcome({ secret }: { readonly secret: string }): VNode {
  const [role, setRole] = useState<Role | null>(null);
  const [failure, setFailure] = useState<ApiFailure | null>(null);
  useEffect(() => {
    readInvitation(secret).then(
      (invitation) => setRole(invitation.role),
      (error: unknown) => {
        if (error instanceof ApiFailure) setFailure(error);
      },
    );
  }, [secret]);
  return (
    <main class="door">
      <h1>Welcome to Lineside</h1>
      {failure === null ? null : <Refusal failure={failure} />}
      {role === null && failure === null ? <p>Looking at your link…</p> : null}
      {role === null ? null : (
        <>
          <p>You have been invited as {ROLE_WORDS[role]}.</p>
          <ChooseName secret={secret} />
        </>
      )}
    </main>
  );
}

function Refusal({ failure }: { readonly failure: ApiFailure }): VNode {
  if (failure.status !== 404) return <FailureNote failure={failure} />;
  return (
    <div class="failure" role="alert">
      <p>
        <strong>This link has been used, has run out, or was not copied in full.</strong> Ask the
        service office for a new one. If you chose your name already, <a href="#/">sign in</a>.
      </p>
    </div>
  );
}

function ChooseName({ secret }: { readonly secret: string }): VNode {
  const [displayName, setDisplayName] = useState('');
  const [username, setUsername] = useState('');
  const [password, setPassword] = useState('');
  const { busy, failure, run } = useRequest();
  const accept = async (): Promise<void> => {
    const session = await acceptInvitation({ secret, username, displayName, password });
    goTo({ screen: 'units', by: 'need', find: '' }, 'replace');
    enter(session);
  };
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        run(accept);
      }}
    >
      <Field
        label="Your name, as colleagues read it"
        value={displayName}
        onValue={setDisplayName}
        autocomplete="name"
        required
      />
      <Field
        label="Name to sign in with"
        value={username}
        onValue={setUsername}
        autocomplete="username"
        required
      />
      <Field
        label="Password"
        type="password"
        value={password}
        onValue={setPassword}
        autocomplete="new-password"
        minLength={SHORTEST_PASSWORD}
        advice={`At least ${SHORTEST_PASSWORD} characters. A few words in a row are easy to remember.`}
        required
      />
      {failure === null ? null : <FailureNote failure={failure} />}
      <button class="button button-strong" type="submit" disabled={busy}>
        {busy ? 'Setting up…' : 'Start'}
      </button>
    </form>
  );
}
