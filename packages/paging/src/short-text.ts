/** Ends of a text that was cut. */
const CUT = '…';

const GRAPHEMES = new Intl.Segmenter('en', { granularity: 'grapheme' });

/** Line breaks, control characters and those that turn the direction of reading. */
const UNSEEN = /[\p{Cc}\u2028-\u202E\u2066-\u2069]+/gu;

/** A name on one line, as whoever wrote the fleet file wrote it. */
export function oneLine(name: string): string {
  return name.replace(UNSEEN, ' ').replace(/ {2,}/g, ' ').trim();
}

/** The text in at most `most` characters (UTF-16 units), cut between what is read as characters. */
export function shortened(text: string, most: number): string {
  if (text.length <= most) return text;
  let kept = '';
  for (const { segment } of GRAPHEMES.segment(text)) {
    if (kept.length + segment.length + CUT.length > most) break;
    kept += segment;
  }
  return most < CUT.length ? '' : `${kept.trimEnd()}${CUT}`;
}

/** Two names in at most `most` characters; the longer one is cut first. */
export function sideBySide(first: string, second: string, most: number): string {
  const between = ', ';
  const room = most - between.length;
  if (first.length + second.length <= room) return `${first}${between}${second}`;
  const half = Math.floor(room / 2);
  const forFirst = Math.max(half, room - second.length);
  const left = shortened(first, forFirst);
  return `${left}${between}${shortened(second, room - left.length)}`;
}

/**
 * `Visit: Pier nine, Old mill +3.`: as many names as fit into `most` characters, and how many more
 * there are; empty when none fits.
 */
export function namesWithin(words: string, names: readonly string[], most: number): string {
  let text = '';
  for (let count = 1; count <= names.length; count += 1) {
    const more = names.length - count;
    const list = names.slice(0, count).join(', ');
    const next = `${words}${list}${more === 0 ? '' : ` +${more}`}.`;
    if (next.length > most) break;
    text = next;
  }
  return text;
}
