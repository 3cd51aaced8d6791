import type { ActionCode } from '../api/types.ts';

/** What a technician can record, in the order of the job. */
export interface ServiceAction {
  readonly code: ActionCode;
  readonly label: string;
  /** True when it matters on which phases it was done. */
  readonly phases: boolean;
}

export const SERVICE_ACTIONS: readonly ServiceAction[] = [
  { code: 'disconnect-opened', label: 'Disconnect opened', phases: false },
  { code: 'inspection', label: 'Inspected', phases: false },
  { code: 'insulation-test', label: 'Insulation tested', phases: true },
  { code: 'fuses-replaced', label: 'Fuses replaced', phases: true },
  { code: 'contactor-replaced', label: 'Contactor replaced', phases: false },
  { code: 'connector-replaced', label: 'Connector replaced', phases: true },
  { code: 'connections-torqued', label: 'Connections torqued', phases: true },
  { code: 'cleaned', label: 'Cleaned', phases: false },
  { code: 'sealed', label: 'Opening sealed', phases: false },
  { code: 'gasket-replaced', label: 'Gasket replaced', phases: false },
  { code: 'drain-cleared', label: 'Drain cleared', phases: false },
  { code: 'root-cause', label: 'Root cause found', phases: false },
  { code: 'disconnect-closed', label: 'Disconnect closed', phases: false },
];

export function actionLabel(code: string): string {
  return SERVICE_ACTIONS.find((action) => action.code === code)?.label ?? code.replaceAll('-', ' ');
}
