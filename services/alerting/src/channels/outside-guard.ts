import type { LookupAddress } from 'node:dns';
import { lookup } from 'node:dns/promises';
import ipaddr from 'ipaddr.js';

type Ip = ReturnType<typeof ipaddr.parse>;

/** Turns a host name into addresses; rejects when there are none. */
export type Resolve = (host: string) => Promise<readonly LookupAddress[]>;

/** Whether an address may be called, and at which network addresses exactly. */
type Checked =
  | { readonly may: true; readonly at: readonly LookupAddress[] }
  | { readonly may: false; readonly reason: string }
  /** The name could not be resolved: it may be later. */
  | { readonly may: 'unknown'; readonly reason: string };

export type OutsideGuard = (url: URL) => Promise<Checked>;

export interface GuardSettings {
  /** Networks that may be called although they are inside, without TLS too: CIDR notation. */
  readonly allow: readonly string[];
  readonly resolve?: Resolve;
}

/** Unicast by its number, yet answered by a hosting provider's own machinery (common practice). */
const PLATFORM_SERVICES = ipaddr.parseCIDR('168.63.129.16/32');

/** All that is handed out for the public in IPv6. Source: IANA IPv6 Global Unicast Space. */
const GLOBAL_UNICAST = ipaddr.parseCIDR('2000::/3');

/** Networks in CIDR notation; throws `RangeError` that names the one that is wrong. */
export function parseNetworks(texts: readonly string[]): readonly [Ip, number][] {
  return texts.map((text) => {
    if (!ipaddr.isValidCIDR(text)) {
      throw new RangeError(`'${text}' is no network in CIDR notation, such as 10.2.0.0/16`);
    }
    const [network, bits] = ipaddr.parseCIDR(text);
    return [network, bits];
  });
}

/**
 * Guards against being sent to call addresses inside (loopback, private, link-local, unique-local,
 * carrier-grade NAT, metadata services, multicast, and IPv6 forms that carry such an IPv4 address).
 * A name is refused when any of its addresses is. The caller must connect to `at` and not resolve
 * the name again: the second answer could be another.
 */
export function createOutsideGuard({ allow, resolve = resolveAll }: GuardSettings): OutsideGuard {
  const allowed = parseNetworks(allow);
  return async (url) => {
    const host = url.hostname.replace(/^\[|\]$/g, '');
    const literal = ipaddr.isValid(host) ? ipaddr.parse(host) : null;
    let at: readonly LookupAddress[];
    try {
      at = literal === null ? await resolve(host) : [lookupOf(host, literal)];
    } catch (error) {
      return { may: 'unknown', reason: `cannot resolve ${host}: ${codeOf(error)}` };
    }
    if (at.length === 0) return { may: 'unknown', reason: `${host} has no address` };
    return judge(url, at, allowed);
  };
}

/**
 * Why an address that is written in numbers is never called; null when it is, and for a name, whose
 * addresses are known only when it is called.
 */
export async function neverCalled(url: URL, allow: readonly string[]): Promise<string | null> {
  const checked = await createOutsideGuard({ allow, resolve: async () => [] })(url);
  return checked.may === false ? checked.reason : null;
}

function judge(url: URL, at: readonly LookupAddress[], allowed: readonly [Ip, number][]): Checked {
  const ips = at.map(({ address }) => ipaddr.process(address));
  const isAllowed = (ip: Ip): boolean => allowed.some((network) => isWithin(ip, network));
  const inside = ips.find((ip) => !isAllowed(ip) && !isPublic(ip));
  if (inside !== undefined) {
    return { may: false, reason: `${url.hostname} is inside (${rangeOf(inside)}): not called` };
  }
  if (url.protocol !== 'https:' && !ips.every(isAllowed)) {
    return { may: false, reason: `${url.hostname} must be called by https` };
  }
  return { may: true, at };
}

function isWithin(ip: Ip, [network, bits]: readonly [Ip, number]): boolean {
  return ip.kind() === network.kind() && ip.match(network, bits);
}

function isPublic(ip: Ip): boolean {
  if (ip.range() === 'rfc6052') return isPublic(embeddedIpv4(ip));
  if (ip.range() !== 'unicast' || isWithin(ip, PLATFORM_SERVICES)) return false;
  return ip.kind() === 'ipv4' || isWithin(ip, GLOBAL_UNICAST);
}

/** The IPv4 address at the end, of `64:ff9b::/96` (RFC 6052). */
function embeddedIpv4(ip: Ip): Ip {
  return ipaddr.fromByteArray(ip.toByteArray().slice(-4));
}

function rangeOf(ip: Ip): string {
  return ip.range() === 'unicast' ? 'reserved' : ip.range();
}

function lookupOf(host: string, ip: Ip): LookupAddress {
  return { address: host, family: ip.kind() === 'ipv4' ? 4 : 6 };
}

function resolveAll(host: string): Promise<readonly LookupAddress[]> {
  return lookup(host, { all: true });
}

function codeOf(error: unknown): string {
  return error instanceof Error && 'code' in error ? String(error.code) : 'no answer';
}
