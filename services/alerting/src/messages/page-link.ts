import { createHash, createHmac, randomBytes, timingSafeEqual } from 'node:crypto';
import type { OnCallRecords } from '@lineside/storage';

/** Name under which the record store keeps the secret of links. */
const SECRET_NAME = 'page-links';

const SECRET_BYTES = 32;

/** 132 bits each: nobody guesses one, and both fit a line of a message. */
const ID_CHARACTERS = 22;
const SIGNATURE_CHARACTERS = 22;

/** The secret that page links are signed with: the same from the first call on. */
export function pageLinkSecret(records: Pick<OnCallRecords, 'secretOr'>): Promise<string> {
  return records.secretOr(SECRET_NAME, randomBytes(SECRET_BYTES).toString('base64url'));
}

/** The link of a page to one person, null the office: the same whenever it is made. */
export function pageLinkId(pageKey: string, person: string | null): string {
  const name = JSON.stringify([pageKey, person]);
  return createHash('sha256').update(name).digest('base64url').slice(0, ID_CHARACTERS);
}

/** `<id>.<signature>`, what stands behind `/p/` in the address of a page. */
export function signPageLink(secret: string, linkId: string): string {
  return `${linkId}.${signatureOf(secret, linkId)}`;
}

/** The id of a link whose signature is ours, else null. */
export function readPageLink(secret: string, signed: string): string | null {
  const [linkId, signature, ...rest] = signed.split('.');
  if (linkId === undefined || signature === undefined || rest.length > 0) return null;
  const expected = Buffer.from(signatureOf(secret, linkId));
  const found = Buffer.from(signature);
  return expected.length === found.length && timingSafeEqual(expected, found) ? linkId : null;
}

function signatureOf(secret: string, linkId: string): string {
  const full = createHmac('sha256', secret).update(linkId).digest('base64url');
  return full.slice(0, SIGNATURE_CHARACTERS);
}
