/**
 * Published values of web push and webhooks. Sources: RFC 8188 section 3.1, RFC 8291 section 5 and
 * appendix A, RFC 8292 section 2.4, the reference example of Standard Webhooks. What reads them here
 * is what the counterparts of the channels read with.
 */
import { Webhook } from 'standardwebhooks';
import { describe, expect, it } from 'vitest';
import {
  contentKeys,
  decryptPush,
  pushKeys,
} from '../../services/alerting/test/counterparts/decrypt-push.ts';
import { verifyVapid } from '../../services/alerting/test/counterparts/verify-vapid.ts';
import { signatureOf } from '../../services/alerting/test/counterparts/webhook-receiver.ts';

const bytes = (text: string): Buffer => Buffer.from(text, 'base64url');

describe('RFC 8188, section 3.1', () => {
  it('derives key and nonce of the content', () => {
    const { contentKey, nonce } = contentKeys(
      bytes('yqdlZ-tYemfogSmv7Ws5PQ'),
      bytes('I1BsxtFttlv3u_Oo94xnmw'),
    );
    expect(contentKey.toString('base64url')).toBe('_wniytB-ofscZDh4tbSjHw');
    expect(nonce.toString('base64url')).toBe('Bcs8gkIRKLI8GeI8');
  });
});

describe('RFC 8291, section 5 and appendix A', () => {
  const receiver = {
    privateKey: bytes('q1dXpw3UpT5VOmu_cf_v6ih07Aems3njxI-JWgLcM94'),
    authSecret: bytes('BTBZMqHH6r4Tts7J_aSIgg'),
  };
  const senderPublic = bytes(
    'BP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAmS6TlzAC8wEqKK6PBru3jl7A8',
  );
  const body = bytes(
    'DGv6ra1nlYgDCS1FRnbzlwAAEABBBP4z9KsN6nGRTbVYI_c7VJSPQTBtkgcy27mlmlMoZIIgDll6e3vCYLocInmYWAm' +
      'S6TlzAC8wEqKK6PBru3jl7A_yl95bQpu6cVPTpK4Mqgkf1CXztLVBSt2Ks3oZwbuwXPXLWyouBWLVWGNWQexSgSxs' +
      'j_Qulcy4a-fN',
  );

  it('derives each key on the way', () => {
    const keys = pushKeys(receiver, senderPublic, bytes('DGv6ra1nlYgDCS1FRnbzlw'));
    expect(keys.sharedSecret.toString('base64url')).toBe(
      'kyrL1jIIOHEzg3sM2ZWRHDRB62YACZhhSlknJ672kSs',
    );
    expect(keys.inputKey.toString('base64url')).toBe('S4lYMb_L0FxCeq0WhDx813KgSYqU26kOyzWUdsXYyrg');
    expect(keys.contentKey.toString('base64url')).toBe('oIhVW04MRdy2XN9CiKLxTg');
    expect(keys.nonce.toString('base64url')).toBe('4h_95klXJ5E_qnoN');
  });

  it('decrypts the body', () => {
    expect(body).toHaveLength(144);
    expect(decryptPush(body, receiver)).toBe('When I grow up, I want to be a watermelon');
  });

  it('refuses a body in which one bit has turned', () => {
    const turned = Buffer.from(body);
    turned[100]! ^= 1;
    expect(() => decryptPush(turned, receiver)).toThrow();
  });
});

describe('RFC 8292, section 2.4', () => {
  const token =
    'eyJ0eXAiOiJKV1QiLCJhbGciOiJFUzI1NiJ9.eyJhdWQiOiJodHRwczovL3B1c2guZXhhbXBsZS5uZXQiLCJleHAiO' +
    'jE0NTM1MjM3NjgsInN1YiI6Im1haWx0bzpwdXNoQGV4YW1wbGUuY29tIn0.i3CYb7t4xfxCDquptFOepC9GAu_HLGk' +
    'MlMuCGSK2rpiUfnK9ojFwDXb1JrErtmysazNjjvW2L9OkSSHzvoD1oA';
  const key =
    'BA1Hxzyi1RUM1b5wjxsn7nGxAszw2u61m164i3MrAIxHF6YK5h4SDYic-dRuU_RCPCfA5aq9ojSwk5Y2EmClBPs';

  it('verifies who pushes', () => {
    expect(verifyVapid(`vapid t=${token}, k=${key}`)).toEqual({
      publicKey: key,
      claims: {
        aud: 'https://push.example.net',
        exp: 1_453_523_768,
        sub: 'mailto:push@example.com',
      },
    });
  });

  it('refuses a token with other claims', () => {
    const forged = token.replace(
      /\.[^.]+\./,
      `.${Buffer.from('{"aud":"x"}').toString('base64url')}.`,
    );
    expect(() => verifyVapid(`vapid t=${forged}, k=${key}`)).toThrow(/signature is wrong/);
  });
});

describe('Standard Webhooks, reference example', () => {
  const secret = 'whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw';
  const id = 'msg_p5jXN8AQM9LWM0D4loKWxJek';
  const seconds = 1_614_265_330;
  const body = '{"test": 2432232314}';
  const signature = 'v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=';

  it('is signed so by the library that signs pages, and by node:crypto', () => {
    expect(new Webhook(secret).sign(id, new Date(seconds * 1000), body)).toBe(signature);
    expect(signatureOf(secret, id, String(seconds), body)).toBe(signature);
  });
});
