/** A fleet file that cannot be used. The message has one or two lines and names the place. */
export class FleetFileError extends Error {
  readonly fileName: string;

  constructor(fileName: string, place: string, words: string) {
    super(place === '' ? `${fileName}: ${words}` : `${fileName}: ${place}: ${words}`);
    this.name = 'FleetFileError';
    this.fileName = fileName;
  }
}

/** `['sites', 0, 'units', 3, 'supply']` as `sites[0].units[3].supply`. */
export function placeWords(path: readonly PropertyKey[]): string {
  let words = '';
  for (const step of path) {
    if (typeof step === 'number') words += `[${step}]`;
    else words += words === '' ? String(step) : `.${String(step)}`;
  }
  return words;
}
