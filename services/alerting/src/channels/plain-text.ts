/** Control characters but for the line feed. */
const CONTROLS = /(?:(?!\n)[\p{Cc}\u2028\u2029])+/gu;

/** Line feeds too, for what has to stay on one line. */
const LINE_ENDS = /[\r\n\u0085\u2028\u2029]+/gu;

/** Characters that turn the direction of reading: a name must not rewrite the words around it. */
const TURNING = /[\u061C\u200E\u200F\u202A-\u202E\u2066-\u2069]/gu;

/** Half of a character: no UTF-8 can be made of it. */
const HALVES = /\p{Surrogate}/gu;

const GRAPHEMES = new Intl.Segmenter('en', { granularity: 'grapheme' });

const CUT = '…';

/** Words as any screen shows them: no control characters, nothing that turns the direction. */
export function plainText(text: string): string {
  return text.replace(CONTROLS, ' ').replace(TURNING, '').replace(HALVES, '\uFFFD').trim();
}

/** As `plainText`, on one line. */
export function plainLine(text: string): string {
  return plainText(text.replace(LINE_ENDS, ' ')).replace(/ {2,}/g, ' ');
}

/** The text in at most `mostBytes` of UTF-8, cut between what is read as characters. */
export function withinBytes(text: string, mostBytes: number): string {
  if (Buffer.byteLength(text) <= mostBytes) return text;
  let kept = '';
  let bytes = Buffer.byteLength(CUT);
  for (const { segment } of GRAPHEMES.segment(text)) {
    bytes += Buffer.byteLength(segment);
    if (bytes > mostBytes) break;
    kept += segment;
  }
  return Buffer.byteLength(CUT) > mostBytes ? '' : `${kept.trimEnd()}${CUT}`;
}
