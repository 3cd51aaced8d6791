import type { Statement } from 'better-sqlite3';
import type { ChannelMask } from './channel-mask.ts';

/** A row as an array, in the order of the selected columns. */
export type Row = readonly (number | null)[];

/** Prepared statements that name only the channels of a mask. */
export type MaskStatement = Statement<unknown[], Row>;

/** A fleet's nodes send a handful of channel sets; a statement takes a few kilobytes. */
const MOST_STATEMENTS = 64;

/** Keeps prepared statements by mask, since preparing costs more than running. */
export class MaskStatements {
  readonly #prepare: (mask: ChannelMask) => MaskStatement;
  readonly #known = new Map<ChannelMask, MaskStatement>();

  constructor(prepare: (mask: ChannelMask) => MaskStatement) {
    this.#prepare = prepare;
  }

  of(mask: ChannelMask): MaskStatement {
    const known = this.#known.get(mask);
    if (known !== undefined) return known;
    if (this.#known.size >= MOST_STATEMENTS) this.#known.clear();
    const made = this.#prepare(mask);
    this.#known.set(mask, made);
    return made;
  }
}
