let token = '';

/** The token of the newest session; unsafe requests carry it. */
export function csrfToken(): string {
  return token;
}

export function rememberCsrfToken(next: string): void {
  token = next;
}
