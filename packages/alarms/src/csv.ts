/** What a cell holds; null is an empty cell. */
export type CsvCell = string | number | boolean | null;

/**
 * Lines of cells as CSV: RFC 4180, each line ended by CR LF, cells in double quotes where they hold
 * a comma, a quote or a line break. Text that a spreadsheet would run as a formula gets an
 * apostrophe before it, as OWASP advises (CSV injection).
 */
export function csvText(lines: readonly (readonly CsvCell[])[]): string {
  return lines.map((line) => `${line.map(cellText).join(',')}\r\n`).join('');
}

const RUNS_AS_FORMULA = /^[=+\-@\t\r]/;
const NEEDS_QUOTES = /[",\r\n]/;

function cellText(cell: CsvCell): string {
  if (cell === null) return '';
  if (typeof cell !== 'string') return String(cell);
  const text = RUNS_AS_FORMULA.test(cell) ? `'${cell}` : cell;
  return NEEDS_QUOTES.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}
