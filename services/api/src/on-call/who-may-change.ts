import type { Rota } from '@lineside/oncall';
import type { Principal } from '../auth/principal.ts';
import { ApiError } from '../errors/api-error.ts';
import type { AskedChange } from '../schemas/rota-change.ts';
import { rotaPerson } from './rota-person.ts';

/** Refuses with 403 unless the change gives away a shift of the technician's own, or by the office. */
export function checkMayChange(principal: Principal, rota: Rota, change: AskedChange): void {
  if (principal.role === 'office') return;
  const own = rotaPerson(rota, principal)?.id;
  if (own !== undefined && giversOf(change).includes(own)) return;
  throw new ApiError(
    'API_FORBIDDEN',
    'Technicians arrange cover and swaps for shifts of their own; ask the office for others.',
  );
}

/** Who gives a shift away. */
function giversOf(change: AskedChange): readonly string[] {
  return change.kind === 'cover' ? [change.for] : [change.one.person, change.other.person];
}
