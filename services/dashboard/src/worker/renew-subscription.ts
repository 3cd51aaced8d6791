import type { SubscriptionChangeEvent } from './worker-scope.ts';

/**
 * Tells the server of the subscription that takes the place of an old one. When nobody is signed in
 * any more it cannot; then the page does it when it is next opened.
 */
export async function renewSubscription(
  registration: ServiceWorkerRegistration,
  { oldSubscription, newSubscription }: SubscriptionChangeEvent,
): Promise<void> {
  const session = await fetch('/api/session', { credentials: 'same-origin' });
  if (!session.ok) return;
  const { csrfToken } = (await session.json()) as { readonly csrfToken: string };
  const renewed = newSubscription ?? (await subscribeAnew(registration));
  if (renewed === null) return;
  const { endpoint, keys } = renewed.toJSON();
  await fetch('/api/contact-points/mine', {
    method: 'POST',
    credentials: 'same-origin',
    headers: { 'content-type': 'application/json', 'x-csrf-token': csrfToken },
    body: JSON.stringify({
      subscription: { endpoint, keys },
      ...(oldSubscription == null ? {} : { replaces: oldSubscription.endpoint }),
    }),
  });
}

/** Null when the server sends no push any more. */
async function subscribeAnew(
  registration: ServiceWorkerRegistration,
): Promise<PushSubscription | null> {
  const answer = await fetch('/api/push-key', { credentials: 'same-origin' });
  const { publicKey } = (await answer.json()) as { readonly publicKey: string | null };
  if (publicKey === null) return null;
  return registration.pushManager.subscribe({
    userVisibleOnly: true,
    applicationServerKey: publicKey,
  });
}
