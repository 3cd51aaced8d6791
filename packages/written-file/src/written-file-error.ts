/** A file that cannot be used. The message has one or two lines and names the place. */
export class WrittenFileError extends Error {
  readonly fileName: string;

  /** @param place where in the file, such as `teams[0].first[1].from`; '' for the whole. */
  constructor(fileName: string, place: string, words: string) {
    super(place === '' ? `${fileName}: ${words}` : `${fileName}: ${place}: ${words}`);
    this.name = 'WrittenFileError';
    this.fileName = fileName;
  }
}
