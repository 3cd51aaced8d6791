import { closeSync, openSync, writeSync } from 'node:fs';

/** Lines are gathered to so many characters before they are written. */
const BLOCK_CHARACTERS = 1 << 20;

/** A text file that grows by lines. */
export class LineFile {
  private readonly file: number;
  private block = '';

  constructor(path: string) {
    this.file = openSync(path, 'w');
  }

  line(text: string): void {
    this.block += `${text}\n`;
    if (this.block.length >= BLOCK_CHARACTERS) this.flush();
  }

  close(): void {
    this.flush();
    closeSync(this.file);
  }

  private flush(): void {
    writeSync(this.file, this.block);
    this.block = '';
  }
}
