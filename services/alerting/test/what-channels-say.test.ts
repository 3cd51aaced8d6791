import { afterEach, describe, expect, it } from 'vitest';
import type { Counterpart } from './counterparts/counterpart.ts';
import { startMailHost } from './counterparts/mail-host.ts';
import { startPushService } from './counterparts/push-service.ts';
import { startWebhookReceiver } from './counterparts/webhook-receiver.ts';
import { sampleMessage } from './sample-message.ts';

const TIMEOUT_MS = 10_000;
const open: Counterpart[] = [];

afterEach(async () => {
  for (const other of open.splice(0)) await other.close();
});

async function kept<Other extends Counterpart>(started: Promise<Other>): Promise<Other> {
  const other = await started;
  open.push(other);
  return other;
}

const LONG = {
  title: '"'.repeat(4000),
  body: '\\'.repeat(9000),
  lines: Array.from({ length: 900 }, (_, index) => `${index} ${'ä"'.repeat(200)}`),
};

describe('a push', () => {
  it('carries topic, time to live and urgency, and what the service worker shows', async () => {
    const nowMs = Date.now();
    const push = await kept(startPushService(TIMEOUT_MS, () => nowMs));
    const message = sampleMessage({ priority: 'emergency', expiresAtMs: nowMs + 90_500 });
    await push.channel.handOver(push.address, message);
    expect(push.pushes).toMatchObject([
      {
        headers: { topic: message.pageKey, ttl: '91', urgency: 'high' },
        notification: {
          title: message.title,
          body: message.body,
          tag: message.pageKey,
          url: message.url,
          renotify: true,
          requireInteraction: true,
          revision: 1,
        },
      },
    ]);
  });

  it('of a routine page makes no second sound and may be swept away', async () => {
    const push = await kept(startPushService(TIMEOUT_MS));
    await push.channel.handOver(push.address, sampleMessage({ priority: 'routine' }));
    expect(push.pushes).toMatchObject([
      {
        headers: { urgency: 'normal' },
        notification: { renotify: false, requireInteraction: false },
      },
    ]);
  });

  it('stays within 3 kB whatever the words are', async () => {
    const push = await kept(startPushService(TIMEOUT_MS));
    const result = await push.channel.handOver(push.address, sampleMessage(LONG));
    expect(result).toEqual({ outcome: 'handed-over' });
    // Salt, record size, key and tag are 103 bytes of it (RFC 8291, section 4).
    expect(push.lastBodyBytes()).toBeLessThanOrEqual(3072 + 103);
    expect(push.lastBodyBytes()).toBeGreaterThan(2500);
  });

  it('is refused for a key that is no point on the curve, without telling the key', async () => {
    const push = await kept(startPushService(TIMEOUT_MS));
    const p256dh = Buffer.alloc(65, 4).toString('base64url');
    const keys = { p256dh, auth: Buffer.alloc(16).toString('base64url') };
    const endpoint = 'https://push.example/1';
    const result = await push.channel.handOver({ endpoint, keys }, sampleMessage());
    expect(result).toMatchObject({ outcome: 'refused' });
    expect(JSON.stringify(result)).not.toContain(p256dh);
  });

  it('is not sent inside, nor without TLS', async () => {
    const push = await kept(startPushService(TIMEOUT_MS));
    const inside = { ...Object(push.address), endpoint: 'https://10.0.0.7/push' };
    expect(await push.channel.handOver(inside, sampleMessage())).toEqual({
      outcome: 'refused',
      reason: '10.0.0.7 is inside (private): not called',
    });
  });
});

describe('a mail', () => {
  it('has stable identities, a priority, and goes to the one it is for', async () => {
    const host = await kept(startMailHost(TIMEOUT_MS));
    await host.channel.handOver(host.address, sampleMessage({ priority: 'emergency' }));
    const [{ mail, to, raw } = { mail: null, to: [], raw: '' }] = host.mails;
    expect(to).toEqual(['ana@example.net']);
    expect(mail).toMatchObject({
      messageId: '<ana-17.1.phone-of-ana@lineside.example>',
      references: '<ana-17.phone-of-ana@lineside.example>',
      inReplyTo: '<ana-17.phone-of-ana@lineside.example>',
      date: new Date(sampleMessage().createdAtMs),
      from: { text: '"Lineside" <alarms@lineside.example>' },
    });
    expect(raw).toMatch(/^X-Priority: 1 \(Highest\)\r$/m);
    expect(raw).toMatch(/^Importance: High\r$/m);
    expect(raw).toMatch(/^Auto-Submitted: auto-generated\r$/m);
    expect(mail?.attachments).toEqual([]);
  });

  it('cannot be made to have another header or another recipient', async () => {
    const host = await kept(startMailHost(TIMEOUT_MS));
    const words = 'one\r\nBcc: all@example.net\r\nX-More: yes\r\n\r\nbody';
    await host.channel.handOver(host.address, sampleMessage({ title: words, lines: [words] }));
    const [{ mail, to } = { mail: null, to: [] }] = host.mails;
    expect(to).toEqual(['ana@example.net']);
    expect(mail?.headers.has('bcc')).toBe(false);
    expect(mail?.headers.has('x-more')).toBe(false);
    const [refused] = await Promise.all(
      ['a@b.example\r\nBcc: c@d.example', 'a@b.example, c@d.example', 'A <a@b.example>'].map(
        (address) => host.channel.handOver({ to: address }, sampleMessage()),
      ),
    );
    expect(refused?.outcome).toBe('refused');
    expect(host.mails).toHaveLength(1);
  });

  it('shows words as they are in HTML, and fetches nothing', async () => {
    const host = await kept(startMailHost(TIMEOUT_MS));
    const words = '</h1><img src="https://example.net/x.png"><script>alert(1)</script>';
    const changes = { title: words, body: words, lines: [words], url: 'javascript:alert(1)' };
    await host.channel.handOver(host.address, sampleMessage(changes));
    const html = String(host.mails[0]?.mail.html);
    expect(html).toContain('&lt;img src=&quot;');
    expect(html).not.toMatch(/<(img|script|link|iframe|style|object|svg)|url\(|@import| on\w+=/i);
    expect(html).not.toContain('javascript:');
    expect(html.match(/<h1/g)).toHaveLength(1);
  });

  it('lists the first 300 alarms and how many more there are', async () => {
    const host = await kept(startMailHost(TIMEOUT_MS));
    await host.channel.handOver(host.address, sampleMessage(LONG));
    expect(host.mails[0]?.mail.text).toContain('and 600 more');
    expect(host.mails[0]?.raw.split('\r\n').every(({ length }) => length <= 998)).toBe(true);
  });

  it('waits for a wrong password to be put right, as nobody can be reached', async () => {
    const host = await kept(startMailHost(TIMEOUT_MS, 'another'));
    expect(await host.channel.handOver(host.address, sampleMessage())).toMatchObject({
      outcome: 'failed',
      isChannelDown: true,
      reason: expect.stringContaining('535'),
    });
  });
});

describe('a call of a gateway', () => {
  it('has an identity of page and revision, and says all of the page', async () => {
    const gate = await kept(startWebhookReceiver(TIMEOUT_MS));
    const message = sampleMessage({ revision: 3 });
    await gate.channel.handOver(gate.address, message);
    expect(gate.calls).toMatchObject([
      {
        id: 'ana-17.phone-of-ana.3',
        body: {
          type: 'page',
          timestamp: '2031-05-03T02:12:00.000Z',
          data: {
            key: 'ana-17',
            revision: 3,
            priority: 'urgent',
            lines: message.lines,
            expiresAt: new Date(message.expiresAtMs).toISOString(),
          },
        },
      },
    ]);
  });

  it('stays within 20 kB and says how many lines were left out', async () => {
    const gate = await kept(startWebhookReceiver(TIMEOUT_MS));
    await gate.channel.handOver(gate.address, sampleMessage(LONG));
    const [call] = gate.calls;
    expect(call?.bytes).toBeLessThanOrEqual(20_000);
    expect(JSON.stringify(call?.body)).toMatch(/and \d+ more"\]/);
  });

  it('is refused by a receiver that knows another secret', async () => {
    const gate = await kept(startWebhookReceiver(TIMEOUT_MS));
    const secret = `whsec_${Buffer.alloc(24, 7).toString('base64')}`;
    const result = await gate.channel.handOver(
      { ...Object(gate.address), secret },
      sampleMessage(),
    );
    expect(result).toEqual({ outcome: 'refused', reason: 'answered 401' });
  });
});
