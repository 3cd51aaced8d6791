/** Numbers as a technician reads them: no more digits than the sensors can stand for. */

/** `9.4`, `14`, `310`: two figures below ten, whole numbers above. */
export function shortNumber(value: number): string {
  const rounded = Math.abs(value) < 9.95 ? Math.round(value * 10) / 10 : Math.round(value);
  return String(rounded);
}

/** Rounded to two decimals, for evidence. */
export function evidenceNumber(value: number): number;
export function evidenceNumber(value: number | null): number | null;
export function evidenceNumber(value: number | null): number | null {
  // Adding 0 turns -0 into 0, which JSON does not tell apart.
  return value === null ? null : Math.round(value * 100) / 100 + 0;
}
