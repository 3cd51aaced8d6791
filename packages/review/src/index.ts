/** A part of time, epoch ms, half open. */
export interface TimeSpan {
  readonly fromMs: number;
  readonly toMs: number;
}
