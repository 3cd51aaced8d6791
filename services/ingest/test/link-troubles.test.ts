import { describe, expect, it } from 'vitest';
import { troubleOf } from '../src/outside-broker/refusals.ts';

const withCode = (message: string, code: string | number): Error =>
  Object.assign(new Error(message), { code });

describe('why an outside broker cannot be reached', () => {
  it('names the settings when the sign-in is refused', () => {
    for (const code of [4, 5, 134, 135]) {
      const { kind, reason } = troubleOf(withCode('Connection refused: Not authorized', code));
      expect(kind).toBe('refused');
      expect(reason).toContain('LINESIDE_MQTT_PASSWORD');
    }
  });

  it('names the setting of the authority when the certificate is of an unknown one', () => {
    const words = 'unable to verify the first certificate';
    const { kind, reason } = troubleOf(withCode(words, 'UNABLE_TO_VERIFY_LEAF_SIGNATURE'));
    expect(kind).toBe('refused');
    expect(reason).toContain('LINESIDE_MQTT_CA');
    expect(troubleOf(withCode('certificate has expired', 'CERT_HAS_EXPIRED')).reason).not.toContain(
      'LINESIDE_MQTT_CA',
    );
  });

  it('says in one line what a port of something else means', () => {
    const openSsl =
      'write EPROTO 80BC:error:0A00010B:SSL routines::wrong version number:../a.c:350:\n';
    const { kind, reason } = troubleOf(withCode(openSsl, 'EPROTO'));
    expect(kind).toBe('out');
    expect(reason).toMatch(/^[^\n]*speaks no TLS[^\n]*LINESIDE_MQTT_URL\?$/);
    expect(troubleOf(withCode('read ECONNRESET', 'ECONNRESET')).reason).toContain('mqtts://');
    expect(troubleOf(new Error('connack timeout')).reason).toContain('no MQTT port');
  });

  it('leaves words that say it as they are', () => {
    const words = 'connect ECONNREFUSED 127.0.0.1:1';
    expect(troubleOf(withCode(words, 'ECONNREFUSED')).reason).toBe(words);
  });
});
