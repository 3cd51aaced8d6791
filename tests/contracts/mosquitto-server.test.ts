import { connectAsync } from 'mqtt';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import {
  HAS_MOSQUITTO,
  type MosquittoServer,
  mosquittoPasswords,
  startMosquittoServer,
} from './mosquitto-server.ts';

describe.skipIf(!HAS_MOSQUITTO)('a real Mosquitto (needs Debian package mosquitto)', () => {
  let server: MosquittoServer;

  beforeAll(async () => {
    server = await startMosquittoServer({
      files: { passwords: mosquittoPasswords({ ann: 'first' }) },
      lines: ({ folder }) => ['allow_anonymous false', `password_file ${folder}/passwords`],
    });
  });

  afterAll(() => server.stop());

  const signIn = async (password: string): Promise<void> => {
    const client = await connectAsync(server.url, {
      username: 'ann',
      password,
      reconnectPeriod: 0,
    });
    await client.endAsync();
  };

  it('keeps port and folder over a kill and a new start', async () => {
    await signIn('first');
    await server.kill();
    await expect(signIn('first')).rejects.toThrow(/ECONNREFUSED|closed/);
    await server.start();
    await signIn('first');
  });

  it('reads a changed password file when it is told to', async () => {
    await server.write('passwords', mosquittoPasswords({ ann: 'second' }));
    server.reload();
    await expect
      .poll(() =>
        signIn('second').then(
          () => true,
          () => false,
        ),
      )
      .toBe(true);
    await expect(signIn('first')).rejects.toThrow(/[Nn]ot authorized/);
  });

  it('answers nothing while it is paused, and goes on afterwards', async () => {
    server.pause();
    const late = signIn('second');
    const first = await Promise.race([
      late.then(() => 'signed in'),
      new Promise((resolve) => setTimeout(resolve, 200, 'nothing')),
    ]);
    server.resume();
    await late;
    expect(first).toBe('nothing');
  });
});
