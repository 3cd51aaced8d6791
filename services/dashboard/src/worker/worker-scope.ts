/** The part of a service worker's surroundings that we use; the DOM's typings do not have it. */

interface ExtendableEvent extends Event {
  waitUntil(promise: Promise<unknown>): void;
}

export interface PushEvent extends ExtendableEvent {
  readonly data: { text(): string } | null;
}

export interface NotificationEvent extends ExtendableEvent {
  readonly notification: Notification;
}

export interface SubscriptionChangeEvent extends ExtendableEvent {
  readonly oldSubscription?: PushSubscription | null;
  readonly newSubscription?: PushSubscription | null;
}

interface WindowClient {
  readonly url: string;
  focus(): Promise<unknown>;
}

interface Events {
  install: ExtendableEvent;
  activate: ExtendableEvent;
  push: PushEvent;
  notificationclick: NotificationEvent;
  pushsubscriptionchange: SubscriptionChangeEvent;
}

export interface WorkerScope {
  readonly location: { readonly origin: string };
  readonly registration: ServiceWorkerRegistration;
  readonly clients: {
    claim(): Promise<void>;
    matchAll(options: {
      readonly type: 'window';
      readonly includeUncontrolled: boolean;
    }): Promise<readonly WindowClient[]>;
    openWindow(url: string): Promise<unknown>;
  };
  skipWaiting(): Promise<void>;
  addEventListener<Name extends keyof Events>(
    name: Name,
    listener: (event: Events[Name]) => void,
  ): void;
}
