/** Checking who pushes with nothing but node:crypto (RFC 8292). */
import { createPublicKey, verify } from 'node:crypto';

export interface VapidClaims {
  readonly aud: string;
  /** Seconds. */
  readonly exp: number;
  readonly sub: string;
}

const HEADER = /^vapid t=([\w-]+\.[\w-]+\.[\w-]+), ?k=([\w-]+)$/;

/** Claims of an `Authorization` header whose signature is good by its own key; throws otherwise. */
export function verifyVapid(header: string): { claims: VapidClaims; publicKey: string } {
  const found = HEADER.exec(header);
  if (found === null) throw new Error(`no vapid header: ${header}`);
  const [, token = '', publicKey = ''] = found;
  const [head = '', claims = '', signature = ''] = token.split('.');
  const point = Buffer.from(publicKey, 'base64url');
  const key = createPublicKey({
    format: 'jwk',
    key: {
      kty: 'EC',
      crv: 'P-256',
      x: point.subarray(1, 33).toString('base64url'),
      y: point.subarray(33).toString('base64url'),
    },
  });
  const isGood = verify(
    'sha256',
    Buffer.from(`${head}.${claims}`),
    { key, dsaEncoding: 'ieee-p1363' },
    Buffer.from(signature, 'base64url'),
  );
  if (!isGood) throw new Error('the signature is wrong');
  const { alg } = JSON.parse(Buffer.from(head, 'base64url').toString());
  if (alg !== 'ES256') throw new Error(`signed by ${alg}`);
  return { claims: JSON.parse(Buffer.from(claims, 'base64url').toString()), publicKey };
}
