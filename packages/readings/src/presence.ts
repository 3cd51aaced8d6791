export type PresenceState = 'online' | 'offline';

/**
 * Reads the payload of a presence topic: the ASCII text `online` or `offline`; `null` for anything
 * else, the empty payload included.
 */
export function parsePresence(payload: Uint8Array): PresenceState | null {
  if (isAscii(payload, 'online')) return 'online';
  if (isAscii(payload, 'offline')) return 'offline';
  return null;
}

function isAscii(payload: Uint8Array, text: string): boolean {
  if (payload.length !== text.length) return false;
  for (let i = 0; i < text.length; i++) if (payload[i] !== text.charCodeAt(i)) return false;
  return true;
}
