import { describe, expect, it } from 'vitest';
import { NearAlerting } from '../src/house/near-alerting.ts';

function withDoors(closedDoors: readonly string[]): NearAlerting {
  const alerting = new NearAlerting();
  const deliverer = {
    isRunning: true,
    inFlight: 0,
    lastLookAtMs: 0,
    storeFailure: null,
    closedDoors,
  };
  alerting.bring({
    health: () => ({ caughtUpAtMs: 0, asksOpen: 0, failure: null, deliverer }),
    messagesWait: () => {},
  });
  return alerting;
}

describe('the health of alerting', () => {
  it('names channels that pages do not get out by, and no address', async () => {
    const alerting = withDoors(['webhook https://gateway.example/x', 'webhook', 'e-mail office']);
    const { state, reason } = await alerting.health();
    expect(state).toBe('degraded');
    expect(reason).toMatch(/^pages by webhook and e-mail do not get out/);
    expect(reason).not.toContain('gateway');
  });

  it('is well while all doors are open', async () => {
    expect(await withDoors([]).health()).toEqual({ state: 'ok', reason: null });
  });
});
