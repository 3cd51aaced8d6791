export { labelledCaseJson } from './answers/verdict-json.ts';
export { createToken, type NewToken } from './auth/create-token.ts';
export { createInvitation, firstInvitation } from './auth/first-invitation.ts';
export { buildApi } from './build-api.ts';
export type {
  AlertingDoor,
  ApiDependencies,
  HouseHealth,
  LiveView,
  PageDoor,
  PartHealth,
  SentTest,
} from './dependencies.ts';
export { SERVICE_ACTIONS } from './schemas/service.ts';
export type { WhatIfDesk, WhatIfQuestion, WhatIfState } from './what-if-desk.ts';
