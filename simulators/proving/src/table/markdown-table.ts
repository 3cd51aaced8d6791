/** Columns padded to one width, as the formatter of the project leaves them. */
export function markdownTable(
  heads: readonly string[],
  rows: readonly (readonly string[])[],
): string[] {
  const widths = heads.map((head, column) =>
    Math.max(3, head.length, ...rows.map((row) => (row[column] ?? '').length)),
  );
  const line = (cells: readonly string[]): string =>
    `| ${widths.map((width, column) => (cells[column] ?? '').padEnd(width)).join(' | ')} |`;
  const rule = `| ${widths.map((width) => '-'.repeat(width)).join(' | ')} |`;
  return [line(heads), rule, ...rows.map(line)];
}
