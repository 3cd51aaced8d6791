import type { AlarmState } from '../api/types.ts';

/** What a person can do to an alarm in a state; the server decides. */
export interface AlarmActions {
  readonly acknowledge: boolean;
  readonly handOn: boolean;
  readonly shelve: boolean;
  readonly unshelve: boolean;
}

const NOTHING: AlarmActions = { acknowledge: false, handOn: false, shelve: false, unshelve: false };

export function actionsIn(state: AlarmState): AlarmActions {
  switch (state) {
    case 'unacknowledged':
      return { ...NOTHING, acknowledge: true, handOn: true, shelve: true };
    case 'returned-unacknowledged':
      return { ...NOTHING, acknowledge: true, shelve: true };
    case 'acknowledged':
      return { ...NOTHING, shelve: true };
    case 'shelved':
      return { ...NOTHING, unshelve: true };
    default:
      return NOTHING;
  }
}
