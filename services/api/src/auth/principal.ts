import type { Role } from '@lineside/storage';

/** Who makes a request. */
export interface Principal {
  readonly role: Role;
  /** Sites that may be read; null: all. */
  readonly sites: readonly string[] | null;
  /** For journals and service records. */
  readonly name: string;
  /** What the request rate is counted by. */
  readonly key: string;
  /** Set for a person at a browser, null for a token. */
  readonly session: {
    readonly sessionHash: string;
    readonly csrfToken: string;
    readonly displayName: string;
  } | null;
}

export function mayReadSite(principal: Principal, site: string): boolean {
  return principal.sites === null || principal.sites.includes(site);
}

/** The sites to ask a store for: those of the principal, narrowed to `site` if given. */
export function sitesToAsk(
  principal: Principal,
  site: string | undefined,
): readonly string[] | undefined {
  if (site !== undefined) return mayReadSite(principal, site) ? [site] : [];
  return principal.sites ?? undefined;
}
