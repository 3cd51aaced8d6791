import { setTimeout as wait } from 'node:timers/promises';
import type { NodeCredentials } from '@lineside/rooftop';
import { connectAsync } from 'mqtt';
import { CommandFailure, EXIT } from '../failure.ts';

/** CONNACK of MQTT 3.1.1: bad user name or password, not authorised. */
const REFUSED: readonly unknown[] = [4, 5];

const LOOK_EVERY_MS = 2_000;

/** Long enough for a person to write the broker's files anew and have it read them. */
const MOST_WAIT_MS = 10 * 60_000;

/**
 * Resolves once the broker lets nodes in with their new sign-ins: the embedded one at once, another
 * one after it was given its files anew. `tell` is called once when that has to be waited for.
 * Throws `CommandFailure` (3) after ten minutes.
 */
export async function untilNodesMayCome(
  mqttUrl: string,
  credentials: Readonly<Record<string, NodeCredentials>>,
  tell: (words: string) => void,
): Promise<void> {
  const [anyNode] = Object.values(credentials);
  if (anyNode === undefined) return;
  const startedAt = performance.now();
  for (let isFirst = true; await isRefused(mqttUrl, anyNode); isFirst = false) {
    if (isFirst) {
      tell(
        `the broker at ${mqttUrl} does not know the nodes' new sign-ins: write its files anew ` +
          "('lineside broker files') and have it read them; waiting for that",
      );
    }
    if (performance.now() - startedAt > MOST_WAIT_MS) {
      throw new CommandFailure(EXIT.cannotStart, `the broker at ${mqttUrl} lets no node in`);
    }
    await wait(LOOK_EVERY_MS);
  }
}

/** Other troubles are for the simulated nodes, which try again. */
async function isRefused(mqttUrl: string, credentials: NodeCredentials): Promise<boolean> {
  try {
    const client = await connectAsync(mqttUrl, { ...credentials, reconnectPeriod: 0 }, false);
    await client.endAsync(true);
    return false;
  } catch (error) {
    const code = error instanceof Error && 'code' in error ? error.code : null;
    return REFUSED.includes(code);
  }
}
