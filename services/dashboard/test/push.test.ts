import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { contactIdOf, type PushSurroundings, pushAbility } from '../src/push/this-device.ts';
import { addressToOpen, pageToShow, readPage } from '../src/worker/page-notification.ts';

const ORIGIN = 'https://oncall.example.org';

const PAGE = {
  ...{ title: 'Urgent', body: 'Since 03:10', tag: 'p-1', url: `${ORIGIN}/p/x`, revision: 2 },
  ...{ renotify: true, requireInteraction: true },
};

describe('a pushed message', () => {
  it('is the page that was sent', () => {
    expect(readPage(JSON.stringify(PAGE))).toEqual(PAGE);
  });

  it.each([null, '', 'text', '7', 'null', '{}', '{"title":1,"tag":"x"}'])(
    'that is %s is shown as one that cannot be read',
    (text) => {
      expect(readPage(text)).toMatchObject({ title: 'Lineside pages you', url: null });
    },
  );

  it('takes the place of an older revision, not of a newer one', () => {
    const older = { ...PAGE, revision: 1, body: 'old' };
    expect(pageToShow(PAGE, older)).toEqual(PAGE);
    expect(pageToShow(older, PAGE)).toEqual({ ...PAGE, renotify: false });
    expect(pageToShow(PAGE, PAGE)).toEqual(PAGE);
    for (const shown of [undefined, null, 'x', {}, { revision: '9' }]) {
      expect(pageToShow(PAGE, shown)).toEqual(PAGE);
    }
  });
});

describe('a click', () => {
  it.each([
    [`${ORIGIN}/p/abc#k`, `${ORIGIN}/p/abc#k`],
    ['/#/alarms', `${ORIGIN}/#/alarms`],
    ['https://elsewhere.example/p/abc?x=1', `${ORIGIN}/p/abc?x=1`],
    ['https://x.example//evil.example/', `${ORIGIN}//evil.example/`],
    ['javascript:alert(1)', `${ORIGIN}/#/alarms`],
    ['data:text/html,x', `${ORIGIN}/#/alarms`],
    ['http://[', `${ORIGIN}/#/alarms`],
    [null, `${ORIGIN}/#/alarms`],
  ])('on %s opens %s, never another origin', (url, opened) => {
    expect(addressToOpen(url, ORIGIN)).toBe(opened);
    expect(new URL(addressToOpen(url, ORIGIN)).origin).toBe(ORIGIN);
  });
});

describe('whether a device can be paged', () => {
  const here = (more: Partial<PushSurroundings>): PushSurroundings => ({
    ...{ isSecure: true, hasPush: true, permission: 'default', touchPoints: 0 },
    userAgent: 'Mozilla/5.0 (X11; Linux x86_64)',
    ...more,
  });
  it.each([
    ['possible', {}],
    ['denied', { permission: 'denied' }],
    ['insecure', { isSecure: false, hasPush: false }],
    ['impossible', { hasPush: false }],
    ['install-first', { hasPush: false, userAgent: 'Mozilla/5.0 (iPhone; CPU)' }],
    ['install-first', { hasPush: false, userAgent: 'Mozilla/5.0 (Macintosh)', touchPoints: 5 }],
    ['impossible', { hasPush: false, userAgent: 'Mozilla/5.0 (Macintosh)' }],
  ] as const)('is %s with %o', (ability, more) => {
    expect(pushAbility(here(more))).toBe(ability);
  });
});

describe('the id of a device', () => {
  it('is the one that the server gives it', async () => {
    const endpoint = 'https://push.example.net/abc';
    const hash = createHash('sha256').update(endpoint).digest('hex').slice(0, 32);
    expect(await contactIdOf(endpoint)).toBe(`device-${hash}`);
  });
});
