/** The service worker: shows pages on the lock screen and opens what they link to. */
import { addressToOpen, pageToShow, readPage } from './page-notification.ts';
import { renewSubscription } from './renew-subscription.ts';
import type { NotificationEvent, PushEvent, WorkerScope } from './worker-scope.ts';

declare const self: unknown;
const scope = self as WorkerScope;

scope.addEventListener('install', (event) => event.waitUntil(scope.skipWaiting()));
scope.addEventListener('activate', (event) => event.waitUntil(scope.clients.claim()));
scope.addEventListener('push', (event) => event.waitUntil(show(event)));
scope.addEventListener('notificationclick', (event) => event.waitUntil(open(event)));
scope.addEventListener('pushsubscriptionchange', (event) =>
  event.waitUntil(renewSubscription(scope.registration, event)),
);

async function show(event: PushEvent): Promise<void> {
  const arrived = readPage(event.data?.text() ?? null);
  const [shown] = await scope.registration.getNotifications({ tag: arrived.tag });
  const page = pageToShow(arrived, shown?.data);
  const { title, body, tag, renotify, requireInteraction } = page;
  const options = { body, tag, renotify, requireInteraction, icon: 'icon-192.png', data: page };
  await scope.registration.showNotification(title, options);
}

async function open({ notification }: NotificationEvent): Promise<void> {
  notification.close();
  const { url } = notification.data as { readonly url: string | null };
  const address = addressToOpen(url, scope.location.origin);
  const windows = await scope.clients.matchAll({ type: 'window', includeUncontrolled: true });
  const there = windows.find((window) => window.url === address);
  await (there === undefined ? scope.clients.openWindow(address) : there.focus());
}
