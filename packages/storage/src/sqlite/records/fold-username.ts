/** User names are compared without case, and however their accents are composed. */
export function foldUsername(username: string): string {
  return username.normalize('NFC').toLowerCase();
}
