import type { VNode } from 'preact';
import { useState } from 'preact/hooks';
import { FailureNote } from '../components/failure-note.tsx';
import { Field } from '../components/field.tsx';
import { useRequest } from '../components/use-request.ts';
import { signIn } from '../state/session.ts';

export function SignIn(): VNode {
  const [username, setUsername] = useState('');
  const [password, setPassword] = useState('');
  const { busy, failure, run } = useRequest();
  return (
    <main class="door">
      <h1>Lineside</h1>
      <p>Watches the electrical compartments of rooftop units for water and leakage.</p>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          run(() => signIn(username, password));
        }}
      >
        <Field
          label="Name"
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
          autocomplete="current-password"
          required
        />
        {failure === null ? null : <FailureNote failure={failure} />}
        <button class="button button-strong" type="submit" disabled={busy}>
          {busy ? 'Signing in…' : 'Sign in'}
        </button>
      </form>
      <p class="soft">
        No name yet? The service office sends you a link that works once. The very first link is
        printed by the server when it starts.
      </p>
    </main>
  );
}
