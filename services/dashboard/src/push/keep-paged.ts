import { addPushDevice } from '../api/on-call-client.ts';
import { ApiFailure } from '../api/problem.ts';
import { subscriptionHere, subscriptionJson } from './this-device.ts';

/**
 * Tells the server of this device's subscription again: the browser may have renewed it while
 * nobody was signed in. The same one twice changes nothing.
 */
export async function keepPaged(): Promise<void> {
  const subscription = await subscriptionHere();
  if (subscription === null) return;
  try {
    await addPushDevice(subscriptionJson(subscription));
  } catch (error) {
    // The screen of who is on call says how this device stands; here nobody asked.
    if (!(error instanceof ApiFailure)) throw error;
  }
}
