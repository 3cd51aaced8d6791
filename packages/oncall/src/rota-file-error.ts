/** A rota file that cannot be used. The message has one or two lines and names the place. */
export class RotaFileError extends Error {
  readonly fileName: string;

  constructor(fileName: string, place: string, words: string) {
    super(place === '' ? `${fileName}: ${words}` : `${fileName}: ${place}: ${words}`);
    this.name = 'RotaFileError';
    this.fileName = fileName;
  }
}

/** `['teams', 0, 'first', 1, 'from']` as `teams[0].first[1].from`. */
export function placeWords(path: readonly PropertyKey[]): string {
  let words = '';
  for (const step of path) {
    if (typeof step === 'number') words += `[${step}]`;
    else words += words === '' ? String(step) : `.${String(step)}`;
  }
  return words;
}
