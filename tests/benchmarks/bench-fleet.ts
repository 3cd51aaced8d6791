/** Five hundred invented units, the size of a large service company's fleet. */

const SITES = 20;
const UNITS_A_SITE = 25;

export const UNIT_NAMES: readonly { readonly site: string; readonly unit: string }[] = Array.from(
  { length: SITES * UNITS_A_SITE },
  (_, index) => ({
    site: `site-${Math.floor(index / UNITS_A_SITE) + 1}`,
    unit: `rtu-${(index % UNITS_A_SITE) + 1}`,
  }),
);

export function unitUsername(site: string, unit: string): string {
  return `${site}/${unit}`;
}

/** Any secret will do on loopback; it only has to be the same in both processes. */
export function secretOf(username: string): string {
  return `secret of ${username}`;
}

/** The fleet file of these units. */
export function fleetText(): string {
  const sites = Array.from({ length: SITES }, (_, index) => {
    const id = `site-${index + 1}`;
    const units = UNIT_NAMES.filter(({ site }) => site === id).map(
      ({ unit }) => `      - { id: ${unit}, supply: { volts: 480 } }`,
    );
    return `  - id: ${id}\n    units:\n${units.join('\n')}`;
  });
  return `sites:\n${sites.join('\n')}\n`;
}
