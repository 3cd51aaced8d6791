import { addPushDevice, type SubscriptionJson } from '../api/on-call-client.ts';
import { PAGED_KEY } from './paged-key.ts';

/** Whether this browser can be paged, and if not, why. */
export type PushAbility =
  | 'possible'
  | 'denied'
  | 'insecure'
  | 'install-first'
  | 'impossible'
  /** The server sends no push. */
  | 'not-offered';

/** What the ability depends on; of the browser, or of a test. */
export interface PushSurroundings {
  readonly isSecure: boolean;
  readonly hasPush: boolean;
  readonly permission: NotificationPermission | null;
  readonly userAgent: string;
  readonly touchPoints: number;
}

export function pushAbility(here: PushSurroundings): PushAbility {
  if (!here.isSecure) return 'insecure';
  if (!here.hasPush) return isAppleTouch(here) ? 'install-first' : 'impossible';
  return here.permission === 'denied' ? 'denied' : 'possible';
}

/** These give pages of a web site only once it is on the home screen. A tablet calls itself a Mac. */
function isAppleTouch({ userAgent, touchPoints }: PushSurroundings): boolean {
  return /iPhone|iPad|iPod/.test(userAgent) || (/Macintosh/.test(userAgent) && touchPoints > 1);
}

export function surroundings(): PushSurroundings {
  return {
    isSecure: isSecureContext,
    hasPush: 'serviceWorker' in navigator && 'PushManager' in window,
    permission: 'Notification' in window ? Notification.permission : null,
    userAgent: navigator.userAgent,
    touchPoints: navigator.maxTouchPoints,
  };
}

const WORKER = 'sw.js';

async function worker(): Promise<ServiceWorkerRegistration> {
  await navigator.serviceWorker.register(WORKER);
  return navigator.serviceWorker.ready;
}

/** The subscription that this browser has, or null. */
export async function subscriptionHere(): Promise<PushSubscription | null> {
  const registration = await navigator.serviceWorker.getRegistration();
  return (await registration?.pushManager.getSubscription()) ?? null;
}

/**
 * Asks for the permission, subscribes with the server's key and tells the server. Rejects with ApiFailure, or with the
 * browser's own error when it does not give a subscription.
 */
export async function pageHere(name: string, username: string, key: string): Promise<void> {
  const registration = await worker();
  const before = await registration.pushManager.getSubscription();
  // One that was made for another server's key cannot be used; a browser has one at a time.
  if (before !== null && !isFor(before, key)) await before.unsubscribe();
  const options = { userVisibleOnly: true, applicationServerKey: key };
  const subscription = await registration.pushManager.subscribe(options);
  await addPushDevice(subscriptionJson(subscription), name);
  localStorage.setItem(PAGED_KEY, username);
}

/** Ends the subscription of this browser. */
export async function endSubscriptionHere(): Promise<void> {
  await (await subscriptionHere())?.unsubscribe();
  localStorage.removeItem(PAGED_KEY);
}

function isFor({ options }: PushSubscription, key: string): boolean {
  const held = options.applicationServerKey;
  return held !== null && toBase64Url(held) === key.replace(/=+$/, '');
}

function toBase64Url(bytes: ArrayBuffer): string {
  const text = String.fromCharCode(...new Uint8Array(bytes));
  return btoa(text).replaceAll('+', '-').replaceAll('/', '_').replace(/=+$/, '');
}

export function subscriptionJson(subscription: PushSubscription): SubscriptionJson {
  const { endpoint = '', keys = {} } = subscription.toJSON();
  return { endpoint, keys: { p256dh: keys['p256dh'] ?? '', auth: keys['auth'] ?? '' } };
}

/** Id of the contact point that a subscription is to the server. */
export async function contactIdOf(endpoint: string): Promise<string> {
  const hash = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(endpoint));
  const hex = [...new Uint8Array(hash)].map((byte) => byte.toString(16).padStart(2, '0')).join('');
  return `device-${hex.slice(0, 32)}`;
}
