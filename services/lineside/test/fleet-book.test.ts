import { applyFleet, parseFleetFile } from '@lineside/fleet';
import { pino } from 'pino';
import { describe, expect, it } from 'vitest';
import { FleetBook } from '../src/serve/fleet-book.ts';

const storedFleet = (...units: readonly string[]) =>
  applyFleet(
    null,
    parseFleetFile(
      JSON.stringify({
        sites: [{ id: 'harbour', units: units.map((id) => ({ id, supply: { volts: 600 } })) }],
      }),
      'fleet.json',
    ),
  );

describe('the fleet in a process that does not apply it', () => {
  const world = { document: null as unknown, failure: null as Error | null };
  const loadFleet = async (): Promise<unknown> => {
    if (world.failure !== null) throw world.failure;
    return world.document;
  };
  const book = new FleetBook({ loadFleet }, pino({ level: 'silent' }));
  const units = () => book.fleet.units.map(({ id }) => id);

  it('has no site before another process stored one', async () => {
    await book.refresh();
    expect(book.fleet).toEqual({ sites: [], units: [] });
  });

  it('is what was stored last, and the same object while it stays the same', async () => {
    world.document = storedFleet('rtu-01');
    await book.refresh();
    expect(units()).toEqual(['rtu-01']);
    const before = book.fleet;
    world.document = storedFleet('rtu-01');
    await book.refresh();
    expect(book.fleet).toBe(before);
    world.document = storedFleet('rtu-01', 'rtu-02');
    await book.refresh();
    expect(units()).toEqual(['rtu-01', 'rtu-02']);
  });

  it('stays when it cannot be read, or was written by another version', async () => {
    world.failure = new Error('disk');
    await book.refresh();
    world.failure = null;
    world.document = { version: 99 };
    await book.refresh();
    expect(units()).toEqual(['rtu-01', 'rtu-02']);
  });
});
