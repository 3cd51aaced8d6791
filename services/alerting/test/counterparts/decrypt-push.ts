/** Reading an encrypted push with nothing but node:crypto, apart from the library that made it. */
import { createDecipheriv, createECDH, hkdfSync } from 'node:crypto';

export interface PushReceiver {
  /** Private key of the subscription, P-256. */
  readonly privateKey: Buffer;
  readonly authSecret: Buffer;
}

/** Keys on the way from the subscription's keys to the content (RFC 8291, section 3.4). */
export interface PushKeys {
  readonly sharedSecret: Buffer;
  readonly inputKey: Buffer;
  readonly contentKey: Buffer;
  readonly nonce: Buffer;
}

const TAG_BYTES = 16;

/** Derives what decrypts a body with this salt from this sender. */
export function pushKeys(
  { privateKey, authSecret }: PushReceiver,
  senderPublic: Buffer,
  salt: Buffer,
): PushKeys {
  const own = createECDH('prime256v1');
  own.setPrivateKey(privateKey);
  const sharedSecret = own.computeSecret(senderPublic);
  const info = Buffer.concat([Buffer.from('WebPush: info\0'), own.getPublicKey(), senderPublic]);
  const inputKey = Buffer.from(hkdfSync('sha256', sharedSecret, authSecret, info, 32));
  return { sharedSecret, inputKey, ...contentKeys(inputKey, salt) };
}

/** Key and nonce of the content (RFC 8188, sections 2.2 and 2.3). */
export function contentKeys(
  inputKey: Buffer,
  salt: Buffer,
): Pick<PushKeys, 'contentKey' | 'nonce'> {
  const derive = (info: string, bytes: number): Buffer =>
    Buffer.from(hkdfSync('sha256', inputKey, salt, Buffer.from(info), bytes));
  return {
    contentKey: derive('Content-Encoding: aes128gcm\0', 16),
    nonce: derive('Content-Encoding: nonce\0', 12),
  };
}

/** Text of a push body in `aes128gcm`, which is one record (RFC 8291, section 4). */
export function decryptPush(body: Buffer, receiver: PushReceiver): string {
  const salt = body.subarray(0, 16);
  const recordBytes = body.readUInt32BE(16);
  const keyIdBytes = body.readUInt8(20);
  const senderPublic = body.subarray(21, 21 + keyIdBytes);
  const record = body.subarray(21 + keyIdBytes);
  if (record.length > recordBytes) throw new Error('a push is a single record');
  const { contentKey, nonce } = pushKeys(receiver, senderPublic, salt);
  const decipher = createDecipheriv('aes-128-gcm', contentKey, nonce);
  decipher.setAuthTag(record.subarray(-TAG_BYTES));
  const padded = Buffer.concat([decipher.update(record.subarray(0, -TAG_BYTES)), decipher.final()]);
  const end = padded.lastIndexOf(2);
  if (end < 0 || padded.subarray(end + 1).some((byte) => byte !== 0)) {
    throw new Error('the last record ends with 2 and zeros');
  }
  return padded.subarray(0, end).toString('utf8');
}
